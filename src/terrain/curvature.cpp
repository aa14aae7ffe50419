#include "stumpwise/terrain/curvature.h"

#include <cmath>

#include "stumpwise/base/parallel.h"
#include "window.h"

namespace stumpwise::terrain {
namespace {

template <class Work>
void each_row(const raster::Georef& georef, int threads, Work work) {
  base::parallel_ranges(static_cast<std::size_t>(georef.rows), threads,
                        [&](std::size_t begin, std::size_t end) {
                          for (std::size_t row = begin; row < end; ++row) work(static_cast<int>(row));
                        });
}

}  // namespace

Bend bend(const double (&z)[9], double cell_m) {
  const double area_m2 = cell_m * cell_m;
  return {.d_per_m = ((z[3] + z[5]) / 2 - z[4]) / area_m2,
          .e_per_m = ((z[1] + z[7]) / 2 - z[4]) / area_m2,
          .f_per_m = (-z[0] + z[2] + z[6] - z[8]) / (4 * area_m2),
          .g = (z[5] - z[3]) / (2 * cell_m),
          .h = (z[1] - z[7]) / (2 * cell_m)};
}

double profile_curvature_per_m(const Bend& b) {
  const double steepness = b.g * b.g + b.h * b.h;
  if (steepness == 0) return 0;
  return -2 * (b.d_per_m * b.g * b.g + b.e_per_m * b.h * b.h + b.f_per_m * b.g * b.h) / steepness;
}

double plan_curvature_per_m(const Bend& b) {
  const double steepness = b.g * b.g + b.h * b.h;
  if (steepness == 0) return 0;
  return 2 * (b.d_per_m * b.h * b.h + b.e_per_m * b.g * b.g - b.f_per_m * b.g * b.h) / steepness;
}

Curvature curvature(const raster::Grid& dem, int threads) {
  Curvature result{raster::Grid(dem.georef, raster::Quantity::curvature_per_m),
                   raster::Grid(dem.georef, raster::Quantity::curvature_per_m)};
  each_row(dem.georef, threads, [&](int row) {
    for (int col = 0; col < dem.georef.cols; ++col) {
      double z[9];
      if (!window(dem, col, row, z)) continue;
      const Bend b = bend(z, dem.georef.cell_m);
      result.plan_per_m.at(col, row) = static_cast<float>(plan_curvature_per_m(b));
      result.profile_per_m.at(col, row) = static_cast<float>(profile_curvature_per_m(b));
    }
  });
  return result;
}

raster::Grid position_3x3(const raster::Grid& dem, int threads) {
  raster::Grid result(dem.georef, raster::Quantity::position_m);
  each_row(dem.georef, threads, [&](int row) {
    for (int col = 0; col < dem.georef.cols; ++col) {
      if (std::isnan(dem.at(col, row))) continue;
      double sum = 0;
      int n = 0;
      for (int k = 0; k < 9; ++k) {
        const int c = col + k % 3 - 1, r = row + k / 3 - 1;
        if (k == 4 || !dem.georef.inside(c, r) || std::isnan(dem.at(c, r))) continue;
        sum += dem.at(c, r);
        ++n;
      }
      result.at(col, row) = n == 0 ? 0.0f : static_cast<float>(dem.at(col, row) - sum / n);
    }
  });
  return result;
}

}  // namespace stumpwise::terrain
