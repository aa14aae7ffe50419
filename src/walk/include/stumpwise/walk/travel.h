#pragma once
#include <memory>
#include <vector>

#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::walk {

/// Walking speed on a slope dh/dx (Tobler 1993, NCGIA TR 93-1): 6 exp(-3.5 |s + 0.05|) km/h, in metres per minute.
double tobler_m_per_min(double slope);
/// Off the path: times 0.6.
inline constexpr double kOffPath = 0.6;

/// Minutes along a polyline over a DEM, cut into pieces of at most 15 m, elevations bilinear at the vertices, off-path.
/// Throws Error(bad_value) where the line leaves the DEM.
double walk_minutes(const std::vector<earth::PlanePoint>& line, const raster::Grid& elevation_m, double speed_factor = kOffPath);
double line_length_m(const std::vector<earth::PlanePoint>& line);
double climb_m(const std::vector<earth::PlanePoint>& line, const raster::Grid& elevation_m);
/// The line with vertices at most `step_m` apart.
std::vector<earth::PlanePoint> densify(const std::vector<earth::PlanePoint>& line, double step_m = 15);

/// Where one can walk: elevation, and walls (water, cliffs, closed land) as 1 in `wall`.
struct TravelGround {
  const raster::Grid* elevation_m = nullptr;
  const raster::Grid* wall = nullptr;
};

/// Least minutes to or from one place over a grid of the ground (16 neighbours, Dijkstra), direction respected.
class TravelField {
 public:
  /// `towards`: minutes from each cell to `place` (else from `place` to each cell); stops beyond `most_min`.
  TravelField(const TravelGround& ground, const earth::PlanePoint& place, bool towards, double most_min);
  /// Infinity where it cannot be reached.
  double minutes(const earth::PlanePoint& point) const;
  /// The path between the place and a point, in walking order, pulled straight where no wall is in the way and no time is lost.
  std::vector<earth::PlanePoint> path(const earth::PlanePoint& point) const;

 private:
  struct Impl;
  std::shared_ptr<Impl> impl_;
};

}  // namespace stumpwise::walk
