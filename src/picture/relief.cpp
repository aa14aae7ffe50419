#include "stumpwise/picture/relief.h"

#include <algorithm>
#include <cmath>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/parallel.h"

namespace stumpwise::picture {
namespace {

double rad(double deg) {
  return Angle::degrees(deg).rad();
}

/// 0 to 1 under four lamps 45 degrees apart about the north-west, each weighted by sin^2 of the angle between
/// its azimuth and the slope's aspect: ridges that run along one lamp are lit from the side by another (Mark
/// 1992).
double light_of_many(const terrain::Gradient& gradient, double altitude_deg) {
  static constexpr double kLamps_deg[] = {225, 270, 315, 360};
  if (gradient.dz_dx == 0 && gradient.dz_dy == 0) return hillshade(gradient, 315, altitude_deg) / 255;
  const double aspect = rad(terrain::aspect_deg(gradient));
  double sum = 0, weights = 0;
  for (const double lamp : kLamps_deg) {
    const double weight = std::pow(std::sin(aspect - rad(lamp)), 2) + 1e-6;
    sum += weight * hillshade(gradient, lamp, altitude_deg) / 255;
    weights += weight;
  }
  return sum / weights;
}

Colour between(Colour dark, Colour bright, double light) {
  auto mix = [&](std::uint8_t a, std::uint8_t b) {
    return static_cast<std::uint8_t>(std::lround(a + (b - a) * light));
  };
  return {mix(dark.red, bright.red), mix(dark.green, bright.green), mix(dark.blue, bright.blue), 255};
}

/// The 3 x 3 window; beside edges and holes the centre stands in, which only softens the relief there.
bool window(const raster::Grid& dem, int col, int row, double (&z)[9]) {
  const float centre = dem.at(col, row);
  if (std::isnan(centre)) return false;
  for (int k = 0; k < 9; ++k) {
    const int c = col + k % 3 - 1, r = row + k / 3 - 1;
    const float value = dem.georef.inside(c, r) ? dem.at(c, r) : centre;
    z[k] = std::isnan(value) ? centre : value;
  }
  return true;
}

}  // namespace

double hillshade(const terrain::Gradient& gradient, double azimuth_deg, double altitude_deg) {
  const double zenith = rad(90 - altitude_deg);
  const double slope = std::atan(std::hypot(gradient.dz_dx, gradient.dz_dy));
  double facing = 0;  // on flat ground its factor, sin S, is 0
  if (gradient.dz_dx != 0 || gradient.dz_dy != 0)
    facing = std::cos(rad(azimuth_deg) - rad(terrain::aspect_deg(gradient)));
  const double light = std::cos(zenith) * std::cos(slope) + std::sin(zenith) * std::sin(slope) * facing;
  return std::max(0.0, 255 * light);
}

Image relief_image(const raster::Grid& dem, const ReliefStyle& style, int threads) {
  const raster::Georef& g = dem.georef;
  Image image(g.cols, g.rows);
  // Flat ground is drawn as paper less a little, so that lit slopes can still be brighter.
  const double flat = std::sin(rad(style.altitude_deg));
  base::parallel_ranges(static_cast<std::size_t>(g.rows), threads, [&](std::size_t begin, std::size_t end) {
    for (int row = static_cast<int>(begin); row < static_cast<int>(end); ++row) {
      for (int col = 0; col < g.cols; ++col) {
        double z[9];
        if (!window(dem, col, row, z)) continue;
        terrain::Gradient gradient = terrain::horn_gradient(z, g.cell_m);
        gradient.dz_dx *= style.exaggeration;
        gradient.dz_dy *= style.exaggeration;
        const double light = style.many_lamps
                                 ? light_of_many(gradient, style.altitude_deg)
                                 : hillshade(gradient, style.azimuth_deg, style.altitude_deg) / 255;
        image.set(col, row,
                  between(style.shade, style.paper, std::clamp(0.88 + 1.1 * (light - flat), 0.0, 1.0)));
      }
    }
  });
  return image;
}

}  // namespace stumpwise::picture
