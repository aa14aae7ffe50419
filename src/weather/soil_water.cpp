#include "stumpwise/weather/soil_water.h"

#include <algorithm>

namespace stumpwise::weather {

double total_available_water_mm(double field_capacity, double wilting_point, double depth_m) {
  return 1000 * (field_capacity - wilting_point) * depth_m;
}

double depletion_fraction(double p_table, double etc_mm) {
  return std::clamp(p_table + 0.04 * (5 - etc_mm), 0.1, 0.8);
}

double stress_coefficient(double depletion_mm, double total_mm, double readily_mm) {
  if (depletion_mm <= readily_mm) return 1;
  return std::max(0.0, (total_mm - depletion_mm) / (total_mm - readily_mm));
}

SoilWaterStep next_soil_water(double depletion_mm, double rain_mm, double demand_mm, double total_mm,
                              double readily_mm) {
  const double wanted = stress_coefficient(depletion_mm, total_mm, readily_mm) * demand_mm;
  const double taken = std::min(wanted, total_mm - depletion_mm + rain_mm);
  const double after = depletion_mm - rain_mm + taken;
  return {std::clamp(after, 0.0, total_mm), taken, std::max(0.0, -after)};
}

}  // namespace stumpwise::weather
