#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/date.h"
#include "stumpwise/base/issues.h"

namespace stumpwise::weather {

struct Station {
  std::string id;
  std::string name;
  LatLon place;
  double elevation_m = 0;
};

/// One day as measured. Nothing = not measured (or failed its quality check), which is never 0.
struct Day {
  Date date;
  std::optional<double> tmin_degc, tmax_degc, tmean_degc, precip_mm;
  std::optional<double> snow_depth_mm, snowfall_mm;
  std::optional<double> rh_min_pct, rh_max_pct, wind_m_per_s, sun_hours;  ///< wind at 2 m
  std::string
      method;  ///< empty = measured; else how it was filled ("mean of neighbours", "same days of 2023-2025")

  /// The mean, else the middle of the extremes.
  std::optional<double> mean_degc() const {
    if (tmean_degc) return tmean_degc;
    if (tmin_degc && tmax_degc) return (*tmin_degc + *tmax_degc) / 2;
    return std::nullopt;
  }
};

/// Days in order of date, each once; days between may be missing.
struct Series {
  Station station;
  std::vector<Day> days;
};

/// A stretch of days without a value.
struct Gap {
  Date first, last;
  std::string element;  ///< "temperature" or "precipitation"
  bool filled = false;
  std::string method;
};

/// Physical limits for input, outside of which a row is a fault: -90..60 degC, 0..1900 mm a day (world
/// records: WMO archive, -89.2 and 56.7 degC; 1825 mm in 24 h).
inline constexpr double kLowest_degc = -90, kHighest_degc = 60, kMostRain_mm = 1900;

}  // namespace stumpwise::weather
