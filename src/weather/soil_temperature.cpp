#include "stumpwise/weather/soil_temperature.h"

#include <cmath>
#include <numbers>

namespace stumpwise::weather {

double surface_degc(double air_degc, double green_area_index) {
  const double leaf_area_index = 0.8 * green_area_index;
  return air_degc < 0 ? 0.20 * air_degc : air_degc * (0.95 + 0.05 * std::exp(-0.4 * (leaf_area_index - 3)));
}

double soil_gain(double layer_mm, double green_area_index) {
  return 0.24 * std::exp(-0.017 * layer_mm / 20) * std::exp(-0.15 * green_area_index);
}

double next_soil_degc(double soil_degc, double air_degc, double layer_mm, double green_area_index) {
  return soil_degc +
         (surface_degc(air_degc, green_area_index) - soil_degc) * soil_gain(layer_mm, green_area_index);
}

double damping_depth_m(double diffusivity_m2_per_s, double period_days) {
  constexpr double kSecondsPerDay = 86400;
  return std::sqrt(2 * diffusivity_m2_per_s / (2 * std::numbers::pi / (period_days * kSecondsPerDay)));
}

double damping_factor(double depth_m, double damping_depth) {
  return std::exp(-depth_m / damping_depth);
}

double damping_lag_days(double depth_m, double damping_depth, double period_days) {
  return period_days * depth_m / (2 * std::numbers::pi * damping_depth);
}

}  // namespace stumpwise::weather
