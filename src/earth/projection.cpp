#include "stumpwise/earth/projection.h"

#include <fmt/format.h>

#include <GeographicLib/TransverseMercator.hpp>
#include <GeographicLib/UTMUPS.hpp>

#include "stumpwise/base/error.h"

namespace stumpwise::earth {
namespace {

// Universal Transverse Mercator: false origin 500 000 m east, 10 000 000 m north in the south; scale by
// GeographicLib.
constexpr double kFalseEast_m = 500'000;
constexpr double kFalseNorthSouth_m = 10'000'000;

double central_meridian_deg(int zone) {
  return 6.0 * zone - 183.0;
}

}  // namespace

Utm::Utm(int zone, bool north) : zone_(zone), north_(north) {
  if (zone < 1 || zone > 60)
    throw Error(ErrorCode::bad_value, fmt::format("UTM zone {} does not exist (1 to 60)", zone));
}

Utm Utm::for_place(const LatLon& place) {
  if (!valid(place) || place.lat_deg > 84 || place.lat_deg < -80)
    throw Error(ErrorCode::bad_value,
                fmt::format("latitude {}, longitude {} lies outside the UTM zones (latitude -80 to 84)",
                            place.lat_deg, place.lon_deg),
                "Write latitude first, then longitude, in decimal degrees.");
  return Utm(GeographicLib::UTMUPS::StandardZone(place.lat_deg, place.lon_deg, GeographicLib::UTMUPS::UTM),
             place.lat_deg >= 0);
}

Utm Utm::from_epsg(int epsg) {
  const bool north = epsg > 32600 && epsg <= 32660;
  const bool south = epsg > 32700 && epsg <= 32760;
  if (!north && !south)
    throw Error(ErrorCode::bad_value,
                fmt::format("EPSG:{} is no UTM zone on WGS 84 (32601 to 32660, 32701 to 32760)", epsg));
  return Utm(epsg % 100, north);
}

PlanePoint Utm::forward(const LatLon& place) const {
  double x = 0, y = 0;
  GeographicLib::TransverseMercator::UTM().Forward(central_meridian_deg(zone_), place.lat_deg, place.lon_deg,
                                                   x, y);
  return {x + kFalseEast_m, north_ ? y : y + kFalseNorthSouth_m};
}

LatLon Utm::inverse(const PlanePoint& point) const {
  double lat = 0, lon = 0;
  GeographicLib::TransverseMercator::UTM().Reverse(central_meridian_deg(zone_), point.x_m - kFalseEast_m,
                                                   north_ ? point.y_m : point.y_m - kFalseNorthSouth_m, lat,
                                                   lon);
  return {.lat_deg = lat, .lon_deg = lon};
}

double Utm::convergence_deg(const LatLon& place) const {
  double x = 0, y = 0, convergence = 0, scale = 0;
  GeographicLib::TransverseMercator::UTM().Forward(central_meridian_deg(zone_), place.lat_deg, place.lon_deg,
                                                   x, y, convergence, scale);
  return convergence;
}

}  // namespace stumpwise::earth
