#include "stumpwise/weather/soil.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stumpwise::weather {

double total_available_water_mm(double field_capacity, double wilting_point, double depth_m) { return 1000 * (field_capacity - wilting_point) * depth_m; }
double depletion_fraction(double p_table, double etc_mm) { return std::clamp(p_table + 0.04 * (5 - etc_mm), 0.1, 0.8); }
double stress_coefficient(double depletion_mm, double total_mm, double readily_mm) {
  if (depletion_mm <= readily_mm) return 1;
  return std::max(0.0, (total_mm - depletion_mm) / (total_mm - readily_mm));
}

double surface_degc(double air_degc, double green_area_index) {
  const double lai = 0.8 * green_area_index;
  return air_degc < 0 ? 0.20 * air_degc : air_degc * (0.95 + 0.05 * std::exp(-0.4 * (lai - 3)));
}
double soil_gain(double layer_mm, double green_area_index) { return 0.24 * std::exp(-0.017 * layer_mm / 20) * std::exp(-0.15 * green_area_index); }
double next_soil_degc(double soil_degc, double air_degc, double layer_mm, double green_area_index) {
  return soil_degc + (surface_degc(air_degc, green_area_index) - soil_degc) * soil_gain(layer_mm, green_area_index);
}
double damping_depth_m(double diffusivity_m2_per_s, double period_days) {
  return std::sqrt(2 * diffusivity_m2_per_s / (2 * std::numbers::pi / (period_days * 86400)));
}

SnowStep next_snow(double snow_mm, double precip_mm, double tmean_degc) {
  constexpr double kSnowBelow_degc = 0.5, kMelt_mm_per_degc = 3;
  const bool snows = tmean_degc <= kSnowBelow_degc;
  const double lying = snow_mm + (snows ? precip_mm : 0);
  const double melt = std::min(lying, std::max(0.0, tmean_degc) * kMelt_mm_per_degc);
  return {lying - melt, melt, snows ? 0 : precip_mm};
}

double next_log_moisture(double moisture, double rain_mm, double et0_mm, double tau_h) {
  constexpr double kWetDay_mm = 2, kDryEquilibrium = 0.15, kFullDrying_mm = 4;
  const double response = 1 - std::exp(-24 / tau_h);
  // A soaking takes far less time than the drying: a wet day counts for its hours of contact, five times as strong.
  if (rain_mm >= kWetDay_mm) return moisture + (1 - moisture) * std::min(1.0, 5 * response * std::min(1.0, rain_mm / 10));
  return moisture + (kDryEquilibrium - moisture) * response * std::min(1.5, et0_mm / kFullDrying_mm) * 2;
}

}  // namespace stumpwise::weather
