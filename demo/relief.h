#pragma once
#include <cstdint>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::demo {

using earth::PlanePoint;

/// 12 x 9 km at 10 m in UTM zone 26, whose western edge is 30 W: the middle of the grid lies at 29.98 W.
raster::Georef valley_georef();
earth::Utm valley_utm();
/// Metres east and north of the south-west corner.
PlanePoint local_point(double east_m, double north_m);
PlanePoint plane_point(const LatLon& place);
LatLon lat_lon(const PlanePoint& point);

/// The river, from where it enters in the east to where it leaves in the west.
struct River {
  std::vector<PlanePoint> line;
  std::vector<double> level_m;
};

struct Relief {
  raster::Grid elevation_m;
  raster::Grid slope_deg;             ///< Horn
  raster::Grid river_distance_m;      ///< to the valley's middle line, positive on the north side
  std::vector<std::uint8_t> channel;  ///< cells of the river
  std::vector<float> upslope_cells;
  std::vector<int> receiver;
  River river;
  PlanePoint bridge_south, bridge_north;  ///< ends of the bridge, on dry land
};

/// Macro form (valley profile, two hill masses, a ridge) plus noise, worn down by running water, with a cliff
/// band, brought to the sites' heights and drained.
Relief make_relief(std::uint64_t seed, const base::Progress& progress);

}  // namespace stumpwise::demo
