#include "stumpwise/terrain/slope.h"

#include <cmath>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/parallel.h"
#include "window.h"

namespace stumpwise::terrain {
Gradient horn_gradient(const double (&z)[9], double cell_m) {
  return {((z[2] + 2 * z[5] + z[8]) - (z[0] + 2 * z[3] + z[6])) / (8 * cell_m),
          ((z[6] + 2 * z[7] + z[8]) - (z[0] + 2 * z[1] + z[2])) / (8 * cell_m)};
}

double slope_deg(const Gradient& gradient) {
  return Angle::radians(std::atan(std::hypot(gradient.dz_dx, gradient.dz_dy))).deg();
}

double aspect_deg(const Gradient& gradient) {
  if (gradient.dz_dx == 0 && gradient.dz_dy == 0) return std::nan("");
  // Downslope is (-dz/dx, +dz/dy) in (east, north), since dz/dy grows towards the south.
  const double azimuth = Angle::radians(std::atan2(-gradient.dz_dx, gradient.dz_dy)).deg();
  return azimuth < 0 ? azimuth + 360 : azimuth;
}

SlopeAspect slope_aspect(const raster::Grid& dem, int threads) {
  SlopeAspect result{raster::Grid(dem.georef, raster::Quantity::slope_deg),
                     raster::Grid(dem.georef, raster::Quantity::aspect_deg)};
  base::parallel_ranges(
      static_cast<std::size_t>(dem.georef.rows), threads, [&](std::size_t begin, std::size_t end) {
        for (std::size_t r = begin; r < end; ++r) {
          const int row = static_cast<int>(r);
          for (int col = 0; col < dem.georef.cols; ++col) {
            double z[9];
            if (!window(dem, col, row, z)) continue;
            const Gradient gradient = horn_gradient(z, dem.georef.cell_m);
            result.slope_deg.at(col, row) = static_cast<float>(slope_deg(gradient));
            const auto aspect = static_cast<float>(aspect_deg(gradient));
            result.aspect_deg.at(col, row) = aspect >= 360 ? 0 : aspect;  // 359.99999 may round up
          }
        }
      });
  return result;
}

}  // namespace stumpwise::terrain
