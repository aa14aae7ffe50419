#include "stumpwise/weather/site.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "climate.h"
#include "stumpwise/weather/degree_days.h"
#include "stumpwise/weather/evapotranspiration.h"
#include "stumpwise/weather/log_moisture.h"
#include "stumpwise/weather/snow.h"
#include "stumpwise/weather/soil_temperature.h"
#include "stumpwise/weather/soil_water.h"

namespace stumpwise::weather {
namespace {

constexpr double kLapse_degc_per_m = 0.0065;
/// Soil layer whose middle lies at 10 cm.
constexpr double kSoilLayer_mm = 200;
constexpr double kDegreeDayBase_degc = 5;
constexpr double kTableDepletion = 0.5;
constexpr double kSnowCover_mm = 5, kUnderSnow = 0.4;
constexpr double kStartWater = 0.7, kStartLog = 0.5;
constexpr int kStartDays = 30;

struct DayTemperature {
  double tmin_degc, tmax_degc, tmean_degc;
};

void check(const Site& site) {
  auto range = [](const char* name, double value, double low, double high) {
    if (!(value >= low && value <= high))
      throw Error(ErrorCode::bad_value,
                  fmt::format("{} of a site {:g}: allowed {:g} to {:g}", name, value, low, high));
  };
  range("latitude", site.place.lat_deg, -90, 90);
  range("elevation_m", site.elevation_m, -500, 9000);
  range("leaf_area_index", site.leaf_area_index, 0, 15);
  range("available_water_mm", site.available_water_mm, 1, 5000);
  range("log_tau_h", site.log_tau_h, 1, 100000);
}

/// Steps of a site: one object for one station height.
class Run {
 public:
  Run(const std::vector<Day>& days, double station_elevation_m, const Site& site)
      : days_(days),
        shift_degc_(kLapse_degc_per_m * (station_elevation_m - site.elevation_m)),
        site_(site),
        gai_(site.leaf_area_index / 0.8) {
    check(site);
  }

  std::vector<DayState> from(std::optional<DayState> last, const std::optional<double>& start_soil_degc) {
    std::vector<DayState> states;
    states.reserve(days_.size());
    std::size_t open = 0;  // first day not yet in the state
    for (std::size_t i = 0; i < days_.size(); ++i) {
      const Day& day = days_[i];
      if (last && day.date <= last->date) {
        open = i + 1;
        continue;
      }
      if (!day.mean_degc() || !day.precip_mm) {
        climate_.add(day);
        continue;
      }
      if (!last)
        last = start(i, start_soil_degc);
      else if (base::days_between(last->date, day.date) > 1)
        last = bridged(*last, open, i);
      last = next(*last, day);
      climate_.add(day);
      states.push_back(*last);
      open = i + 1;
    }
    return states;
  }

 private:
  DayTemperature temperature(const Day& day) const {
    const double mean = *day.mean_degc();
    if (day.tmin_degc && day.tmax_degc)
      return {*day.tmin_degc + shift_degc_, *day.tmax_degc + shift_degc_, mean + shift_degc_};
    const double half = usual_half_range_degc(site_.place.lat_deg, base::day_of_year(day.date));
    return {std::min(mean, day.tmin_degc.value_or(mean - half)) + shift_degc_,
            std::max(mean, day.tmax_degc.value_or(mean + half)) + shift_degc_, mean + shift_degc_};
  }

  double et0_mm(const Day& day, const DayTemperature& t) const {
    const int j = base::day_of_year(day.date);
    const double ra = extraterrestrial_mj(site_.place.lat_deg, j),
                 middle_degc = (t.tmin_degc + t.tmax_degc) / 2;
    switch (et0_method(day)) {
      case Et0Method::hargreaves:
        return hargreaves_mm(t.tmin_degc, t.tmax_degc, middle_degc, ra);
      case Et0Method::mean_temperature:
        return oudin_mm(t.tmean_degc, ra);
      case Et0Method::penman_monteith:
        break;
    }
    const double solar = day.sun_hours
                             ? solar_from_sunshine_mj(*day.sun_hours, daylight_h(site_.place.lat_deg, j), ra)
                             : solar_from_range_mj(t.tmin_degc, t.tmax_degc, ra);
    const double vapour = day.rh_min_pct
                              ? vapour_from_rh_kpa(t.tmin_degc, t.tmax_degc, *day.rh_min_pct, *day.rh_max_pct)
                              : vapour_from_rh_max_kpa(t.tmin_degc, *day.rh_max_pct);
    const double net = net_shortwave_mj(solar) - net_longwave_mj(t.tmin_degc, t.tmax_degc, vapour, solar,
                                                                 clear_sky_mj(site_.elevation_m, ra));
    // The flux into the soil is small over a day (FAO-56 eq. 42).
    return std::max(0.0, penman_monteith_mm({middle_degc, *day.wind_m_per_s,
                                             mean_saturation_kpa(t.tmin_degc, t.tmax_degc), vapour, net, 0,
                                             air_pressure_kpa(site_.elevation_m)}));
  }

  DayState next(const DayState& last, const Day& day) const {
    const DayTemperature t = temperature(day);
    DayState now = last;
    now.date = day.date;
    now.measured = day.method.empty();
    now.tmin_degc = t.tmin_degc;
    now.tmax_degc = t.tmax_degc;
    now.tmean_degc = t.tmean_degc;
    now.precip_mm = *day.precip_mm;
    now.et0_mm = et0_mm(day, t);
    const SnowStep snow = next_snow(last.snow_mm, now.precip_mm, t.tmean_degc);
    now.snow_mm = snow.snow_mm;
    now.rain_mm = snow.rain_mm + snow.melt_mm;
    const bool covered = now.snow_mm > kSnowCover_mm;
    const double total = site_.available_water_mm,
                 readily = depletion_fraction(kTableDepletion, now.et0_mm) * total;
    const SoilWaterStep water =
        next_soil_water((1 - last.soil_water) * total, now.rain_mm, covered ? 0 : now.et0_mm, total, readily);
    now.soil_water = std::clamp(1 - water.depletion_mm / total, 0.0, 1.0);
    const double soil = next_soil_degc(last.soil_degc, t.tmean_degc, kSoilLayer_mm, gai_);
    now.soil_degc = covered ? last.soil_degc + (soil - last.soil_degc) * kUnderSnow : soil;
    now.log_moisture = next_log_moisture(last.log_moisture, now.rain_mm, now.et0_mm, site_.log_tau_h);
    const bool new_year = base::year_of(day.date) != base::year_of(last.date);
    now.degree_days =
        (new_year ? 0 : last.degree_days) + single_sine(t.tmin_degc, t.tmax_degc, kDegreeDayBase_degc);
    return now;
  }

  /// A usual day at the station's height, with what was measured on it.
  Day usual(Date date, double fallback_degc, const Day* partly) {
    Day day = partly ? *partly : Day{};
    day.date = date;
    if (!day.mean_degc()) {
      const double mean = climate_.mean_degc(date).value_or(fallback_degc);
      const double half = climate_.half_range_degc().value_or(
          usual_half_range_degc(site_.place.lat_deg, base::day_of_year(date)));
      day.tmin_degc = mean - half;
      day.tmax_degc = mean + half;
    }
    if (!day.precip_mm) day.precip_mm = climate_.rain_mm(date);
    day.method = "usual day";
    return day;
  }

  /// The state on the eve of days_[to], carried over the days between, of which days_[open .. to) have some
  /// values.
  DayState bridged(DayState state, std::size_t open, std::size_t to) {
    const Date from = state.date;
    const int length = base::days_between(from, days_[to].date);
    const double before_degc = state.tmean_degc - shift_degc_, after_degc = *days_[to].mean_degc();
    for (int step = 1; step < length; ++step) {
      const Date date = base::plus_days(from, step);
      while (open < to && days_[open].date < date) ++open;
      const Day* partly = open < to && days_[open].date == date ? &days_[open] : nullptr;
      state = next(state, usual(date, before_degc + (after_degc - before_degc) * step / length, partly));
    }
    return state;
  }

  /// The state on the eve of days_[first].
  DayState start(std::size_t first, const std::optional<double>& start_soil_degc) const {
    const Date eve = base::plus_days(days_[first].date, -1);
    double sum_degc = 0;
    int n = 0;
    for (std::size_t i = first; i < days_.size() && base::days_between(eve, days_[i].date) <= kStartDays; ++i)
      if (const auto mean = days_[i].mean_degc()) sum_degc += *mean, ++n;
    DayState state{};
    state.tmean_degc = sum_degc / n + shift_degc_;
    state.soil_degc = start_soil_degc.value_or(surface_degc(state.tmean_degc, gai_));
    state.soil_water = kStartWater;
    state.log_moisture = kStartLog;
    state.date = eve;
    return state;
  }

  const std::vector<Day>& days_;
  double shift_degc_;
  const Site& site_;
  double gai_;
  Climate climate_;
};

}  // namespace

Et0Method et0_method(const Day& day) {
  if (!day.tmin_degc || !day.tmax_degc) return Et0Method::mean_temperature;
  return day.wind_m_per_s && day.rh_max_pct ? Et0Method::penman_monteith : Et0Method::hargreaves;
}

std::string et0_method_name(Et0Method method) {
  switch (method) {
    case Et0Method::penman_monteith:
      return "Penman-Monteith (FAO-56)";
    case Et0Method::hargreaves:
      return "Hargreaves";
    case Et0Method::mean_temperature:
      break;
  }
  return "mean temperature (Oudin)";
}

double usual_half_range_degc(double latitude_deg, int day_of_year) {
  return 2.5 + 2.5 * std::clamp(extraterrestrial_mj(latitude_deg, day_of_year) / 40, 0.0, 1.0);
}

std::vector<DayState> run_site(const Series& series, const Site& site,
                               const std::optional<double>& start_soil_degc) {
  return Run(series.days, series.station.elevation_m, site).from(std::nullopt, start_soil_degc);
}

std::vector<DayState> continue_site(const DayState& last, const std::vector<Day>& days,
                                    double days_elevation_m, const Site& site) {
  return Run(days, days_elevation_m, site).from(last, std::nullopt);
}

}  // namespace stumpwise::weather
