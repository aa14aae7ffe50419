#pragma once
// Private to terrain: the 3 x 3 window of slope and curvature.
#include <cmath>

#include "stumpwise/raster/grid.h"

namespace stumpwise::terrain {

/// The 3 x 3 window around a cell; false on a hole. Beyond the grid's edge each row or column goes on in a
/// straight line, so a plane keeps its slope up to the corners (gdaldem -compute_edges does the same but
/// repeats the column in the corners). A hole takes the value through the centre from the opposite side, or
/// the centre's own where that is missing too.
inline bool window(const raster::Grid& dem, int col, int row, double (&z)[9]) {
  const raster::Georef& g = dem.georef;
  if (std::isnan(dem.at(col, row))) return false;
  for (int k = 0; k < 9; ++k) {
    const int c = col + k % 3 - 1, r = row + k / 3 - 1;
    z[k] = g.inside(c, r) ? static_cast<double>(dem.at(c, r)) : std::nan("");
  }
  for (int k = 0; k < 3; ++k) {
    if (row == 0) z[k] = 2 * z[3 + k] - z[6 + k];
    if (row == g.rows - 1) z[6 + k] = 2 * z[3 + k] - z[k];
  }
  for (int k = 0; k < 9; k += 3) {
    if (col == 0) z[k] = 2 * z[k + 1] - z[k + 2];
    if (col == g.cols - 1) z[k + 2] = 2 * z[k + 1] - z[k];
  }
  bool hole[9];
  for (int k = 0; k < 9; ++k) hole[k] = std::isnan(z[k]);
  for (int k = 0; k < 9; ++k)
    if (hole[k]) z[k] = hole[8 - k] ? z[4] : 2 * z[4] - z[8 - k];
  return true;
}

}  // namespace stumpwise::terrain
