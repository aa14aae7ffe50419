#pragma once

/// Snow on the ground as one store of water, by degree-days.
///
/// Of a day's precipitation the share that falls as snow is 1 at a mean of 0 degC and below, 0 from 2 degC
/// on, straight between: rain and snow are equally likely somewhere between 0 and 2 degC, 1 degC being a good
/// default (training pages of the US weather service on its river forecast snow model, parameter PXTEMP).
/// Melt is 2.42 mm of water per degC above 0 and day: the mean of the forest sites of "On the values and
/// variability of degree-day melting factor", Nordic Hydrology 11:235, 1980 (abstract; open sites 3.51). No
/// water is held in the pack, none is lost to the air, rain does not melt it: a pack here can last a few days
/// too long or too short.
namespace stumpwise::weather {

inline constexpr double kAllSnowBelow_degc = 0, kAllRainFrom_degc = 2, kMelt_mm_per_degc_day = 2.42;

/// 0 to 1.
double snow_share(double tmean_degc);

/// Water is kept: snow before + precipitation = snow_mm + melt_mm + rain_mm.
struct SnowStep {
  double snow_mm;  ///< on the ground at the end of the day
  double melt_mm;
  double rain_mm;  ///< what fell as rain
};
SnowStep next_snow(double snow_mm, double precip_mm, double tmean_degc);

}  // namespace stumpwise::weather
