#include "stumpwise/weather/degree_days.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stumpwise::weather {

double single_sine(double tmin, double tmax, double threshold) {
  const double mean = (tmin + tmax) / 2, amplitude = (tmax - tmin) / 2;
  if (tmin >= threshold) return mean - threshold;
  if (tmax <= threshold) return 0;
  const double theta = std::asin((threshold - mean) / amplitude);
  return ((mean - threshold) * (std::numbers::pi / 2 - theta) + amplitude * std::cos(theta)) /
         std::numbers::pi;
}

double single_sine_cut(double tmin, double tmax, double threshold, double upper) {
  return single_sine(tmin, tmax, threshold) - single_sine(tmin, tmax, upper);
}

double single_triangle(double tmin, double tmax, double threshold) {
  if (tmin >= threshold) return (tmin + tmax) / 2 - threshold;
  if (tmax <= threshold) return 0;
  return (tmax - threshold) * (tmax - threshold) / (2 * (tmax - tmin));
}

double simple_average(double tmean, double threshold) {
  return std::max(0.0, tmean - threshold);
}

double four_case(double tmin, double tmax, double base) {
  const double mean = (tmin + tmax) / 2;
  if (tmin >= base) return mean - base;
  if (mean >= base) return (tmax - base) / 2 - (base - tmin) / 4;
  return tmax > base ? (tmax - base) / 4 : 0;
}

}  // namespace stumpwise::weather
