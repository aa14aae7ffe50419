#include "stumpwise/weather/snow.h"

#include <algorithm>

namespace stumpwise::weather {

double snow_share(double tmean_degc) {
  return std::clamp((kAllRainFrom_degc - tmean_degc) / (kAllRainFrom_degc - kAllSnowBelow_degc), 0.0, 1.0);
}

SnowStep next_snow(double snow_mm, double precip_mm, double tmean_degc) {
  const double fallen = precip_mm * snow_share(tmean_degc);
  const double lying = snow_mm + fallen;
  const double melt = std::min(lying, std::max(0.0, tmean_degc) * kMelt_mm_per_degc_day);
  return {lying - melt, melt, precip_mm - fallen};
}

}  // namespace stumpwise::weather
