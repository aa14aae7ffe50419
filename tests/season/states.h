#pragma once
// States of a site and triggers written by hand: rows of the guild table in the domain paper (the-job.md G),
// as data.
#include <functional>
#include <string>
#include <vector>

#include "stumpwise/season/index.h"

namespace stumpwise::season {

inline constexpr weather::Site kTarnwick{.place = {.lat_deg = 42.0, .lon_deg = -30.0}, .elevation_m = 310};

struct Weather {
  double tmean_degc, rain_mm, soil_degc = 10, log_moisture = 0.6, soil_water = 0.7, range_degc = 8;
};

/// States of the days [first, last], each as `day` says.
inline std::vector<weather::DayState> states(Date first, Date last, const std::function<Weather(Date)>& day) {
  std::vector<weather::DayState> result;
  for (Date d = first; d <= last; d += std::chrono::days{1}) {
    const Weather w = day(d);
    weather::DayState s{};
    s.date = d;
    s.tmean_degc = w.tmean_degc;
    s.tmin_degc = w.tmean_degc - w.range_degc / 2;
    s.tmax_degc = w.tmean_degc + w.range_degc / 2;
    s.precip_mm = s.rain_mm = w.rain_mm;
    s.soil_degc = w.soil_degc;
    s.log_moisture = w.log_moisture;
    s.soil_water = w.soil_water;
    result.push_back(s);
  }
  return result;
}

inline species::Triggers triggers(std::vector<species::SeasonMode> season, double t_min, double t_opt,
                                  double t_max, double rain_mm, int lag_min, int lag_max, double visible_days,
                                  std::optional<double> frost_kill_degc) {
  species::Triggers t;
  t.season = std::move(season);
  t.t_min_degc = t_min;
  t.t_opt_degc = t_opt;
  t.t_max_degc = t_max;
  t.rain_mm = rain_mm;
  t.lag_min_days = lag_min;
  t.lag_max_days = lag_max;
  t.visible_days = visible_days;
  t.frost_kill_degc = frost_kill_degc;
  return t;
}

inline int doy(unsigned month, unsigned day) {
  return base::day_of_year(base::make_date(2025, month, day));
}

/// E01, spring hardwood polypore: 7-d air, limits 2-28, optimum 15, 10-15 mm in 10 d, lag 3-10 d, visible 3-6
/// weeks.
inline species::Triggers e01() {
  return triggers({{double(doy(5, 10)), 20, 1, true}}, 2, 15, 28, 12, 3, 10, 30, {});
}
/// E02, morels: soil, main 10-15, inhibited above 15-18; rain over 10 mm within 30 d.
inline species::Triggers e02() {
  auto t = triggers({{double(doy(5, 4)), 10, 1, true}}, 6, 12.5, 18, 15, 3, 30, 14, -3);
  t.temperature_of = species::TemperatureOf::soil;
  return t;
}
/// E07, oak-base hen polypore: 20 mm in 20 d, 10-20 d.
inline species::Triggers e07() {
  auto t = triggers({{double(doy(9, 25)), 14, 1, false}}, 4, 13, 24, 20, 10, 20, 20, {});
  t.temperature_window_days = 10;
  return t;
}
/// O18, root-rot honey fungi: air 7-15, 20 mm in 14 d, 7-14 d.
inline species::Triggers o18() {
  auto t = triggers({{double(doy(10, 8)), 14, 1, false}}, 3, 11, 20, 20, 7, 14, 12, -3);
  t.temperature_window_days = 10;
  return t;
}
/// O22, winter velvet stem: optimum 8-12, from about 3-5, stops about 19-20; wet wood; survives freezing.
inline species::Triggers o22() {
  auto t = triggers({{double(doy(12, 25)), 40, 1, false}}, 0, 10, 19.5, 15, 7, 14, 25, {});
  t.temperature_window_days = 10;
  t.water_of = species::WaterOf::log_moisture;
  t.moist_share = 0.4;
  return t;
}

/// Scenario H1 (the-job.md H1): 60 days up to `today`, every fourth day 8 mm, last week's means as given, 9
/// mm and 14 mm on the two days before today.
inline std::vector<weather::DayState> h1_states(Date today, double mean_degc,
                                                const std::vector<double>& last_week_degc, double soil_degc) {
  return states(base::plus_days(today, -66), today, [&](Date d) {
    const int ago = base::days_between(d, today);
    Weather w{ago < 7 ? last_week_degc[static_cast<std::size_t>(6 - ago)] : mean_degc,
              ago % 4 == 3 ? 8.0 : 0.0, soil_degc};
    if (ago == 2) w.rain_mm = 9;
    if (ago == 1) w.rain_mm = 14;
    return w;
  });
}

}  // namespace stumpwise::season
