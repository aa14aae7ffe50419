#pragma once
#include <optional>
#include <string>
#include <vector>

#include "land.h"
#include "stumpwise/base/random.h"

namespace stumpwise::demo {

enum class Going { trail, open_ground, searching };

/// One piece of a way: how it is walked up to its end.
struct WayPoint {
  PlanePoint at;
  Going going = Going::open_ground;
};

/// Where people can go: not over the river but by the bridge, not over steep rock, not into a reserve, a
/// closed place or one whose permission has run out. Works on cells of 20 m and keeps at least 10 m off each
/// wall.
class Walker {
 public:
  explicit Walker(const Land& land);
  bool open(const PlanePoint& point) const;
  /// Nothing is in the way of the straight line.
  bool clear(const PlanePoint& from, const PlanePoint& to) const;
  /// The quickest way (Tobler, trails at full speed, else 0.6 of it), without its first point; nothing where
  /// there is none.
  std::optional<std::vector<WayPoint>> way(const PlanePoint& from, const PlanePoint& to) const;
  /// From now on, these lines are trails.
  void mark_trail(const std::vector<PlanePoint>& line);
  /// A wandering search about `middle` of the given length, without its first point.
  std::vector<WayPoint> search(base::Random& random, const PlanePoint& middle, double radius_m,
                               double length_m, const std::vector<PlanePoint>& drawn_to) const;
  double elevation_m(const PlanePoint& point) const;
  /// Metres per minute on a slope (Tobler 1993): 6 km/h exp(-3.5 |s + 0.05|), times 0.6 off the trail;
  /// searching 0.9 km/h.
  static double speed_m_per_min(double slope, Going going);

 private:
  int cell_of(const PlanePoint& point) const;
  PlanePoint middle_of(int cell) const;
  std::vector<WayPoint> pulled_straight(const std::vector<int>& cells, const PlanePoint& from,
                                        const PlanePoint& to) const;
  const Land& land_;
  int cols_, rows_;
  std::vector<std::uint8_t> wall_, trail_;
  std::vector<float> height_m_;
};

struct Trail {
  std::string name;
  std::vector<PlanePoint> line;
  bool bridge = false;
};
/// Lays the trails and the bridge between the car parks and the sites, and marks them.
std::vector<Trail> lay_trails(const Land& land, Walker& walker);

}  // namespace stumpwise::demo
