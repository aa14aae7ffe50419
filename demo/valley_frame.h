#pragma once
#include <vector>

#include "relief.h"

namespace stumpwise::demo {

/// The map in metres from its south-west corner.
inline constexpr double kLeft_m = 247'190, kBottom_m = 4'649'570, kCell_m = 10;
inline constexpr int kCols = 1200, kRows = 900;
/// The land is worn down on wider and coarser grids, so that valleys at the map's edge go on beyond it.
inline constexpr double kPad_m = 1000;
inline constexpr double kBridgeEast_m = 4510;  ///< the river runs nearly straight there

/// Cubic through b (t = 0) and c (t = 1).
double catmull_rom(double a, double b, double c, double d, double t);
/// Height of the river above the sea by the way from the western edge.
double river_level_m(double way_km);

/// The valley's middle, from west to east.
struct MiddleLine {
  std::vector<PlanePoint> points;  ///< local metres, a point every 40 m or so
  std::vector<double> way_km;      ///< 0 at the western edge
};

/// Distance from the middle line (positive north of it) and the way along it, on a lattice, read bilinearly.
class ValleyFrame {
 public:
  ValleyFrame();
  struct Place {
    double distance_m, way_km;
  };
  Place at(double east_m, double north_m) const;
  const MiddleLine& line() const { return line_; }

 private:
  static constexpr double kNode_m = 50;
  static constexpr int kNodeCols = 281, kNodeRows = 221;
  const Place& node(int col, int row) const {
    return nodes_[static_cast<std::size_t>(row) * kNodeCols + col];
  }
  Place nearest(double x, double y) const;
  MiddleLine line_;
  std::vector<Place> nodes_;
};

}  // namespace stumpwise::demo
