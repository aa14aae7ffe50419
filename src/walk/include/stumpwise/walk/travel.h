#pragma once
#include <memory>
#include <vector>

#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::walk {

/// Walking speed on a slope dh/dx (Tobler 1993, NCGIA TR 93-1): 6 exp(-3.5 |s + 0.05|) km/h, in metres per
/// minute. Steep ground is not cut off: the speed simply follows the law (0.5 km/h at a slope of 0.66).
double tobler_m_per_min(double slope);
/// Off the path: times 0.6 (same report).
inline constexpr double kOffPath = 0.6;
/// Longest piece of a line over which one slope is taken.
inline constexpr double kPiece_m = 15;

/// Minutes along a polyline over a DEM, each segment cut into equal pieces of at most 15 m, elevations
/// bilinear at the vertices, off-path. Throws Error(bad_value) where the line leaves the DEM. A line of fewer
/// than two points takes 0.
double walk_minutes(const std::vector<earth::PlanePoint>& line, const raster::Grid& elevation_m,
                    double speed_factor = kOffPath);
double line_length_m(const std::vector<earth::PlanePoint>& line);
/// Metres upward along the line, over the same pieces as walk_minutes.
double climb_m(const std::vector<earth::PlanePoint>& line, const raster::Grid& elevation_m);
/// The line with vertices at most `step_m` apart; every vertex of the line stays.
std::vector<earth::PlanePoint> densify(const std::vector<earth::PlanePoint>& line, double step_m = kPiece_m);

/// Where one can walk: elevation, and walls (water, cliffs, closed land) as 1 in `wall` (nodata is a wall
/// too). A cell without elevation, and each of its eight neighbours (where a bilinear elevation could not be
/// told), is closed as well. Both grids lie on the same cells; `wall` may be null.
struct TravelGround {
  const raster::Grid* elevation_m = nullptr;
  const raster::Grid* wall = nullptr;
};

/// No way that takes longer than this (three days) is looked for.
inline constexpr double kLongestWay_min = 3 * 24 * 60;

/// Least minutes to or from one place (Dijkstra over 16 neighbours, direction respected: up is slower than
/// down). On large grounds open land is taken in blocks of several cells and only land beside walls cell by
/// cell, so that a bridge one cell wide is still found. Every edge carries the minutes of its own straight
/// line (walk_minutes), and is absent where that line touches a wall.
class TravelField {
 public:
  /// `towards`: minutes from each cell to `place` (else from `place` to each cell); stops beyond `most_min`.
  /// Throws Error(bad_value) where the place lies outside the ground or on closed land. The ground's grids
  /// must outlive the field.
  TravelField(const TravelGround& ground, const earth::PlanePoint& place, bool towards, double most_min);
  /// Along the graph, so at most 2.75 % above the straight line on open flat land. Infinity where it cannot
  /// be reached within `most_min`.
  double minutes(const earth::PlanePoint& point) const;
  /// The path between the place and a point, in walking order, pulled straight where no wall is in the way
  /// and no time is lost: its walk_minutes() are at most minutes(point). Empty where the point cannot be
  /// reached.
  std::vector<earth::PlanePoint> path(const earth::PlanePoint& point) const;

 private:
  struct Impl;
  std::shared_ptr<Impl> impl_;
};

}  // namespace stumpwise::walk
