#include "stumpwise/weather/log_moisture.h"

#include <algorithm>
#include <cmath>

namespace stumpwise::weather {

double next_log_moisture(double moisture, double rain_mm, double et0_mm, double tau_h) {
  constexpr double kRain_mm_per_h = 1.27;  // 0.05 inch an hour
  constexpr double kSaturation_pct = 30;
  const double wet_h = std::min(24.0, rain_mm / kRain_mm_per_h);
  const double wet = (76 + 2.7 * wet_h) / kSaturation_pct;
  const double dry = 0.15 + 0.5 * std::exp(-et0_mm / 2);
  const double boundary = ((24 - wet_h) * dry + wet_h * wet) / 24;
  return std::clamp(moisture + (boundary - moisture) * (1 - std::exp(-24 / tau_h)), 0.0, 1.0);
}

}  // namespace stumpwise::weather
