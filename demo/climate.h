#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/date.h"

namespace stumpwise::demo {

/// One day of the valley's weather at the station's height, as it was.
struct ClimateDay {
  Date date;
  double tmin_degc = 0, tmax_degc = 0, rain_mm = 0;
  bool recorded_temperature = true, recorded_rain = true, in_file = true;  ///< what the station wrote down
  double mean_degc() const { return (tmin_degc + tmax_degc) / 2; }
};

inline constexpr double kStationElevation_m = 245;
inline constexpr double kLapse_degc_per_m = -0.0065;

/// 2023-01-01 to 2026-11-25, every day: a yearly cycle, temperature anomalies that hold on for some days, wet
/// and dry spells with gamma amounts; a warm January (2025), a frost on 2024-05-11, a drought in the summer
/// of 2025. What the station did not record: 22 days from 2024-01-18 on, and some short gaps.
std::vector<ClimateDay> make_climate(std::uint64_t seed);

/// date,tmin_c,tmax_c,precip_mm: unrecorded values are empty, days of the long gap are missing.
std::string climate_csv(const std::vector<ClimateDay>& days);

}  // namespace stumpwise::demo
