#include "stumpwise/picture/ramp.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stumpwise::picture {
namespace {

constexpr int kClasses = 7;
constexpr double kLeast_per_ha = 1e-3;
/// The ramp's two ends in CIE L*a*b*: pale straw and deep plum. Between them a straight line, so lightness
/// falls evenly.
constexpr double kPale[3] = {88, 2, 58};
constexpr double kDeep[3] = {24, 38, -28};
/// Seen through, so that the relief stays readable; the fuller the class the less.
constexpr int kFirstAlpha = 145, kLastAlpha = 205;
constexpr Colour kHatch{40, 40, 40, 190};
constexpr int kHatchEvery_px = 6;
constexpr Colour kWater{96, 150, 196, 235}, kRipple{54, 104, 154, 255}, kWall{70, 70, 70, 200};

double from_linear(double v) {
  return v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1 / 2.4) - 0.055;
}
double to_linear(double v) {
  return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

/// CIE L*a*b* (D65) to sRGB (IEC 61966-2-1), clipped to the gamut.
Colour from_lab(double l, double a, double b) {
  auto back = [](double t) { return t > 6.0 / 29 ? t * t * t : 3 * std::pow(6.0 / 29, 2) * (t - 4.0 / 29); };
  const double fy = (l + 16) / 116;
  const double x = 0.95047 * back(fy + a / 500), y = back(fy), z = 1.08883 * back(fy - b / 200);
  auto channel = [](double v) {
    return static_cast<std::uint8_t>(std::lround(255 * from_linear(std::clamp(v, 0.0, 1.0))));
  };
  return {channel(3.2404542 * x - 1.5371385 * y - 0.4985314 * z),
          channel(-0.9692660 * x + 1.8760108 * y + 0.0415560 * z),
          channel(0.0556434 * x - 0.2040259 * y + 1.0572252 * z), 255};
}

Colour class_colour(int i) {
  const double t = static_cast<double>(i) / (kClasses - 1);
  auto mix = [&](int k) { return kPale[k] + (kDeep[k] - kPale[k]) * t; };
  Colour colour = from_lab(mix(0), mix(1), mix(2));
  colour.alpha = static_cast<std::uint8_t>(std::lround(kFirstAlpha + (kLastAlpha - kFirstAlpha) * t));
  return colour;
}

/// The n-th number of ..., 0.5, 1, 2, 5, 10, ... with 1 as the 0th.
double one_two_five(int n) {
  static constexpr double kDigits[] = {1, 2, 5};
  const int power = n >= 0 ? n / 3 : -((2 - n) / 3);
  return kDigits[n - 3 * power] * std::pow(10.0, power);
}

bool hatched(int x, int y) {
  return (x + y) % kHatchEvery_px == 0;
}

}  // namespace

Ramp::Ramp(double highest_per_ha) {
  const double highest =
      std::isfinite(highest_per_ha) ? std::max(highest_per_ha, kLeast_per_ha) : kLeast_per_ha;
  int top = static_cast<int>(std::floor(3 * std::log10(highest))) - 3;
  while (one_two_five(top + 1) <= highest * (1 + 1e-9)) ++top;
  for (int i = 0; i < kClasses; ++i) {
    const double from = one_two_five(top - (kClasses - 1) + i);
    const std::string label =
        i + 1 < kClasses ? fmt::format("{:g} to {:g}", from, one_two_five(top - (kClasses - 1) + i + 1))
                         : fmt::format("{:g} and more", from);
    steps_.push_back({from, class_colour(i), label});
  }
}

Ramp Ramp::for_grid(const raster::Grid& finds_per_ha) {
  std::vector<float> values;
  for (const float value : finds_per_ha.values)
    if (value > 0) values.push_back(value);
  if (values.empty()) return Ramp(1);
  const auto at = static_cast<std::ptrdiff_t>(0.98 * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return Ramp(values[static_cast<std::size_t>(at)]);
}

Colour Ramp::colour(double finds_per_ha) const {
  Colour result{0, 0, 0, 0};
  for (const RampStep& step : steps_)
    if (finds_per_ha >= step.from_per_ha) result = step.colour;  // false for NaN
  return result;
}

double lightness(Colour colour) {
  const double y = 0.2126729 * to_linear(colour.red / 255.0) + 0.7151522 * to_linear(colour.green / 255.0) +
                   0.0721750 * to_linear(colour.blue / 255.0);
  return y > 216.0 / 24389 ? 116 * std::cbrt(y) - 16 : y * 24389.0 / 27;
}

Image prospect_image(const raster::Grid& finds_per_ha, const raster::Grid* extrapolated, const Ramp& ramp) {
  const raster::Georef& g = finds_per_ha.georef;
  if (extrapolated) raster::require_same(g, extrapolated->georef);
  Image image(g.cols, g.rows);
  for (int row = 0; row < g.rows; ++row) {
    for (int col = 0; col < g.cols; ++col) {
      const Colour colour = ramp.colour(finds_per_ha.at(col, row));
      if (colour.alpha == 0) continue;
      image.set(col, row, colour);
      if (extrapolated && extrapolated->at(col, row) > 0 && hatched(col, row)) image.blend(col, row, kHatch);
    }
  }
  return image;
}

Image barrier_image(const raster::Grid& wall, const raster::Grid* water) {
  const raster::Georef& g = wall.georef;
  if (water) raster::require_same(g, water->georef);
  Image image(g.cols, g.rows);
  for (int row = 0; row < g.rows; ++row) {
    for (int col = 0; col < g.cols; ++col) {
      if (water && water->at(col, row) > 0)
        image.set(col, row, row % 4 == 0 && (col + row / 4 * 3) % 8 < 5 ? kRipple : kWater);
      else if (wall.at(col, row) > 0 && ((col + row) % 5 == 0 || (col - row + 5 * g.rows) % 5 == 0))
        image.set(col, row, kWall);
    }
  }
  return image;
}

}  // namespace stumpwise::picture
