#pragma once
#include "stumpwise/raster/grid.h"

namespace stumpwise::terrain {

struct Gradient {
  double dz_dx = 0;  ///< towards east
  double dz_dy = 0;  ///< towards SOUTH (row direction), as the published windows print it
};
/// Third-order finite difference of Horn (1981, Proc. IEEE 69:14). `z`: the 3 x 3 window, row by row from the
/// north-west.
Gradient horn_gradient(const double (&z)[9], double cell_m);
double slope_deg(const Gradient& gradient);
/// Downslope direction, 0 = north, clockwise; nothing on flat ground (NaN inside grids).
double aspect_deg(const Gradient& gradient);

struct SlopeAspect {
  raster::Grid slope_deg, aspect_deg;
};
/// Horn's window everywhere. Beyond the grid's edge each row or column is carried on in a straight line (as
/// gdaldem -compute_edges does, apart from the four corners); a nodata neighbour takes the value through the
/// centre from the opposite side, or the centre's; a nodata centre stays nodata. Inside, the numbers are
/// gdaldem's. The same for any number of threads.
SlopeAspect slope_aspect(const raster::Grid& dem, int threads);

}  // namespace stumpwise::terrain
