#pragma once
#include "stumpwise/base/angle.h"

namespace stumpwise::earth {

struct GeodesicLine {
  double distance_m = 0;
  double azimuth_start_deg = 0;  ///< from true north, clockwise, 0 to 360
  double azimuth_end_deg = 0;    ///< direction of travel on arrival
};

/// Shortest line on WGS 84 (Karney 2013, J. Geodesy 87:43).
GeodesicLine geodesic(const LatLon& from, const LatLon& to);

struct GeodesicEnd {
  LatLon place;
  double azimuth_end_deg = 0;
};
/// The end of a line of `distance_m` that leaves `from` at `azimuth_deg`.
GeodesicEnd geodesic_direct(const LatLon& from, double azimuth_deg, double distance_m);

}  // namespace stumpwise::earth
