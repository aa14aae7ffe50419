#pragma once
#include <compare>
#include <numbers>

namespace stumpwise::base {

/// An angle that says at each call which unit is meant: radians and degrees are silent to swap and costly.
class Angle {
 public:
  static constexpr Angle degrees(double value_deg) { return Angle(value_deg * (std::numbers::pi / 180.0)); }
  static constexpr Angle radians(double value_rad) { return Angle(value_rad); }
  constexpr double deg() const { return rad_ * (180.0 / std::numbers::pi); }
  constexpr double rad() const { return rad_; }
  constexpr auto operator<=>(const Angle&) const = default;

 private:
  explicit constexpr Angle(double value_rad) : rad_(value_rad) {}
  double rad_;
};

/// A place on WGS 84. Write LatLon{.lat_deg = 42.0, .lon_deg = -30.0}: the order is then in plain sight.
struct LatLon {
  double lat_deg = 0;
  double lon_deg = 0;
  constexpr bool operator==(const LatLon&) const = default;
};

/// True where latitude is in -90..90 and longitude in -180..180.
constexpr bool valid(const LatLon& place) {
  return place.lat_deg >= -90 && place.lat_deg <= 90 && place.lon_deg >= -180 && place.lon_deg <= 180;
}

}  // namespace stumpwise::base

namespace stumpwise {
using base::Angle;
using base::LatLon;
}  // namespace stumpwise
