#pragma once
#include <string>

#include "stumpwise/base/angle.h"

namespace stumpwise::earth {

/// A place on a transverse Mercator plane, metres.
struct PlanePoint {
  double x_m = 0;
  double y_m = 0;
  bool operator==(const PlanePoint&) const = default;
};

/// One zone of the Universal Transverse Mercator system on WGS 84 (EPSG 32601-32660 north, 32701-32760
/// south). Forward and inverse by GeographicLib (Karney 2011, J. Geodesy 85:475, 5 nm within 35 degrees of
/// the central meridian).
class Utm {
 public:
  Utm(int zone, bool north);
  /// The standard zone of a place between 80 S and 84 N; throws Error(bad_value) elsewhere.
  static Utm for_place(const LatLon& place);
  /// From 326zz or 327zz; throws Error(bad_value) for another code.
  static Utm from_epsg(int epsg);
  int zone() const { return zone_; }
  bool north() const { return north_; }
  int epsg() const { return (north_ ? 32600 : 32700) + zone_; }
  PlanePoint forward(const LatLon& place) const;
  LatLon inverse(const PlanePoint& point) const;
  /// Grid convergence at a place, degrees: add to a grid bearing to get the bearing from true north.
  double convergence_deg(const LatLon& place) const;

 private:
  int zone_;
  bool north_;
};

}  // namespace stumpwise::earth
