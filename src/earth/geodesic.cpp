#include "stumpwise/earth/geodesic.h"

#include <GeographicLib/Geodesic.hpp>

namespace stumpwise::earth {
namespace {

double positive_deg(double azimuth_deg) {
  return azimuth_deg < 0 ? azimuth_deg + 360.0 : azimuth_deg;
}

}  // namespace

GeodesicLine geodesic(const LatLon& from, const LatLon& to) {
  double distance = 0, start = 0, end = 0;
  GeographicLib::Geodesic::WGS84().Inverse(from.lat_deg, from.lon_deg, to.lat_deg, to.lon_deg, distance,
                                           start, end);
  return {distance, positive_deg(start), positive_deg(end)};
}

GeodesicEnd geodesic_direct(const LatLon& from, double azimuth_deg, double distance_m) {
  double lat = 0, lon = 0, end = 0;
  GeographicLib::Geodesic::WGS84().Direct(from.lat_deg, from.lon_deg, azimuth_deg, distance_m, lat, lon, end);
  return {{.lat_deg = lat, .lon_deg = lon}, positive_deg(end)};
}

}  // namespace stumpwise::earth
