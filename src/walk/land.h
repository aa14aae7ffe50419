#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "stumpwise/walk/travel.h"

namespace stumpwise::walk {

inline double distance_m(const earth::PlanePoint& a, const earth::PlanePoint& b) {
  return std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
}
inline earth::PlanePoint between(const earth::PlanePoint& a, const earth::PlanePoint& b, double share) {
  return {a.x_m + share * (b.x_m - a.x_m), a.y_m + share * (b.y_m - a.y_m)};
}
/// Equal pieces of at most `step_m`. The small allowance keeps a line that was cut once from being cut again.
inline int piece_count(double length_m, double step_m) {
  return std::max(1, static_cast<int>(std::ceil(length_m / step_m - 1e-6)));
}

/// The ground at its own resolution: which cells are open, which straight lines are, and how long they take.
class Land {
 public:
  explicit Land(const TravelGround& ground);

  const raster::Georef& georef() const { return elevation_->georef; }
  bool open(int col, int row) const {
    return georef().inside(col, row) && closed_[georef().index(col, row)] == 0;
  }
  bool open(const earth::PlanePoint& point) const {
    return open(georef().col_of(point.x_m), georef().row_of(point.y_m));
  }
  earth::PlanePoint centre(int col, int row) const { return {georef().x_of(col), georef().y_of(row)}; }
  /// Throws Error(bad_value) naming `what` where the place is outside the ground or on closed land.
  void require_open(const earth::PlanePoint& place, const char* what) const;

  /// True where no cell that the line touches is closed. A line within 2 cm of a corner touches all four
  /// cells there, so that rounding in a GPX file cannot carry it into a wall.
  bool clear(const earth::PlanePoint& a, const earth::PlanePoint& b) const;

  struct Minutes {
    double there = 0, back = 0;
  };
  /// Off-path minutes of the straight line, both ways; the line must be clear.
  Minutes minutes(const earth::PlanePoint& a, const earth::PlanePoint& b) const;

 private:
  double height_m(double x_m, double y_m) const;

  const raster::Grid* elevation_;
  std::vector<std::uint8_t> closed_;
};

}  // namespace stumpwise::walk
