#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "emerge.h"
#include "stumpwise/base/random.h"
#include "stumpwise/stat/circular.h"

namespace stumpwise::season {
namespace {

constexpr double kYear_days = 365.25;
/// Hopkins 1918: four days later for each degree north or 122 m up, in spring (memory).
constexpr double kDaysPerDegree = 4.0, kDaysPerMetre = 4.0 / 122.0, kReferenceLatitude_deg = 45.0;

double turn_of(double days) { return days * 2 * std::numbers::pi / kYear_days; }

/// Standard deviation whose 90 % range is the stated plus and minus.
double sd_of(double range90) { return range90 / 1.6448536269514722; }

}  // namespace

SeasonCurve::SeasonCurve(const species::Triggers& triggers, double latitude_deg, double elevation_m, double shift_days) {
  // In the south the year stands on its head: half a year is added and latitude counts from the pole's side.
  const bool south = latitude_deg < 0;
  const double delay = (std::abs(latitude_deg) - kReferenceLatitude_deg) * kDaysPerDegree + elevation_m * kDaysPerMetre;
  for (const species::SeasonMode& mode : triggers.season)
    modes_.push_back({mode.peak_day + (mode.spring ? delay : -delay) + shift_days + (south ? kYear_days / 2 : 0), stat::kappa_from_sd(turn_of(mode.spread_days)), mode.weight});
  double most = 0;
  for (const Mode& mode : modes_) most = std::max(most, raw(mode.peak_day));
  scale_ = most > 0 ? 1 / most : 0;
}

double SeasonCurve::raw(double day) const {
  double sum = 0;
  for (const Mode& mode : modes_) sum += mode.weight * std::exp(mode.kappa * (std::cos(turn_of(day - mode.peak_day)) - 1));
  return sum;
}

double SeasonCurve::at(Date date) const { return modes_.empty() ? 1 : std::min(1.0, raw(base::day_of_year(date)) * scale_); }

int SeasonCurve::days_to_peak(Date date) const {
  double best = 1e9;
  for (const Mode& mode : modes_) {
    double apart = std::fmod(mode.peak_day - base::day_of_year(date), kYear_days);
    if (apart > kYear_days / 2) apart -= kYear_days;
    if (apart < -kYear_days / 2) apart += kYear_days;
    if (std::abs(apart) < std::abs(best)) best = apart;
  }
  return static_cast<int>(std::lround(best));
}

double season_response(const species::Triggers& triggers, Date date, double latitude_deg, double elevation_m, double shift_days) {
  return SeasonCurve(triggers, latitude_deg, elevation_m, shift_days).at(date);
}

double beta_response(double t, double t_min, double t_opt, double t_max) {
  if (t <= t_min || t >= t_max) return 0;
  return (t_max - t) / (t_max - t_opt) * std::pow((t - t_min) / (t_opt - t_min), (t_opt - t_min) / (t_max - t_opt));
}

Emerger::Emerger(const species::Triggers& triggers, const weather::Site& site, const Variant& variant)
    : triggers_(triggers), variant_(variant), season_(triggers, site.place.lat_deg, site.elevation_m, variant.season_shift_days),
      survival_(std::exp(-1.0 / std::max(1.0, triggers.visible_days))) {}

double Emerger::temperature_mean(const std::vector<weather::DayState>& states, std::size_t i) const {
  const std::size_t window = std::min<std::size_t>(i + 1, static_cast<std::size_t>(std::max(1, triggers_.temperature_window_days)));
  double sum = 0;
  for (std::size_t k = 0; k < window; ++k) sum += triggers_.temperature_of == species::TemperatureOf::soil ? states[i - k].soil_degc : states[i - k].tmean_degc;
  return sum / static_cast<double>(window);
}

double Emerger::water_value(const std::vector<weather::DayState>& states, std::size_t i) const {
  if (triggers_.water_of == species::WaterOf::soil_water) return states[i].soil_water;
  if (triggers_.water_of == species::WaterOf::log_moisture) return states[i].log_moisture;
  // Rain of the lag window; rain younger than the shortest lag counts by the share of that lag that has passed.
  double sum = 0;
  for (int lag = 0; lag <= triggers_.lag_max_days && static_cast<std::size_t>(lag) <= i; ++lag)
    sum += states[i - static_cast<std::size_t>(lag)].rain_mm * std::min(1.0, (lag + 1.0) / (triggers_.lag_min_days + 1.0));
  return sum;
}

Emergence Emerger::at(const std::vector<weather::DayState>& states, std::size_t i) const {
  const weather::DayState& state = states[i];
  Emergence e;
  e.season = season_.at(state.date);
  const double t = temperature_mean(states, i) - variant_.t_shift_degc;
  e.temperature = std::max(0.0, beta_response(t, triggers_.t_min_degc, triggers_.t_opt_degc, triggers_.t_max_degc));
  const double water = water_value(states, i);
  if (triggers_.water_of == species::WaterOf::antecedent_rain) {
    e.water = 1 - std::exp(-water / (triggers_.rain_mm * variant_.rain_factor));
  } else {
    const double share = water / (triggers_.moist_share * std::sqrt(variant_.rain_factor));
    e.water = 1 - std::exp(-share * share);
  }
  if (triggers_.frost_kill_degc) {
    // From the killing temperature down over three degrees everything soft goes; half of it at the middle.
    const double below = *triggers_.frost_kill_degc - state.tmin_degc;
    e.keep = std::clamp(1 - below / 3.0, 0.0, 1.0);
  }
  return e;
}

double next_index(double before, const Emergence& today, double survival, int days_passed) {
  const double kept = std::pow(survival, std::max(1, days_passed));
  return today.keep * ((1 - kept) * today.product() + kept * before);
}

std::vector<Variant> variants(const species::Triggers& triggers, int n) {
  base::Random random(20260512);
  std::vector<Variant> result;
  for (int i = 0; i < n; ++i) {
    Variant v;
    v.season_shift_days = random.normal(0, sd_of(triggers.season_uncertainty_days));
    v.t_shift_degc = random.normal(0, sd_of(triggers.t_uncertainty_degc));
    v.rain_factor = std::exp(random.normal(0, sd_of(std::log1p(triggers.rain_uncertainty))));
    result.push_back(v);
  }
  return result;
}

void set_band(std::vector<double> values, double factor, IndexDay& day) {
  values.push_back(day.index);
  std::sort(values.begin(), values.end());
  auto quantile = [&](double p) {
    const double at = p * static_cast<double>(values.size() - 1);
    const auto below = static_cast<std::size_t>(at);
    const std::size_t above = std::min(below + 1, values.size() - 1);
    return values[below] + (values[above] - values[below]) * (at - static_cast<double>(below));
  };
  const double low = std::min(day.index, quantile(0.05)), high = std::max(day.index, quantile(0.95));
  day.low90 = std::clamp(day.index - (day.index - low) * factor, 0.0, 1.0);
  day.high90 = std::clamp(day.index + (high - day.index) * factor, 0.0, 1.0);
}

namespace {

std::string temperature_words(const species::Triggers& t, double mean) {
  const char* what = t.temperature_of == species::TemperatureOf::soil ? "soil" : "air";
  // The window in words: where the response is above about a half.
  const double low = t.t_min_degc + 0.45 * (t.t_opt_degc - t.t_min_degc), high = t.t_opt_degc + 0.6 * (t.t_max_degc - t.t_opt_degc);
  const char* where = mean < low ? "below" : mean > high ? "above" : "inside";
  return fmt::format("{} {:.0f} °C over {} days, {} the {:.0f}–{:.0f} °C window", what, mean, t.temperature_window_days, where, low, high);
}

std::string water_words(const species::Triggers& t, double value) {
  if (t.water_of == species::WaterOf::antecedent_rain) return fmt::format("rain that counts {:.0f} mm of the last {} days ({:.0f} mm is good)", value, t.lag_max_days, t.rain_mm);
  const char* what = t.water_of == species::WaterOf::soil_water ? "soil water" : "dead wood moisture";
  return fmt::format("{} {:.0f} per cent ({:.0f} is good)", what, value * 100, t.moist_share * 100);
}

std::string season_words(const SeasonCurve& curve, Date date) {
  const int days = curve.days_to_peak(date);
  if (days == 0) return "season at its peak";
  return days > 0 ? fmt::format("season {} days before its peak", days) : fmt::format("season {} days past its peak", -days);
}

}  // namespace

void describe(const species::Triggers& triggers, const Emerger& emerger, const std::vector<weather::DayState>& states, std::size_t i, IndexDay& day) {
  const Emergence& e = day.today;
  struct Factor { double value; std::string words; };
  std::vector<Factor> factors{{e.season, season_words(emerger.season(), day.date)},
                              {e.temperature, temperature_words(triggers, emerger.temperature_mean(states, i))},
                              {e.water, water_words(triggers, emerger.water_value(states, i))}};
  if (e.keep < 1) factors.push_back({e.keep, fmt::format("frost of {:.0f} °C", states[i].tmin_degc)});
  const auto by_value = [](const Factor& a, const Factor& b) { return a.value < b.value; };
  day.driver = std::max_element(factors.begin(), factors.end(), by_value)->words;
  day.limit = std::min_element(factors.begin(), factors.end(), by_value)->words;
}

std::size_t first_that_matters(const species::Triggers& triggers, const std::vector<weather::DayState>& states, Date first) {
  const int back = static_cast<int>(5 * triggers.visible_days) + std::max(triggers.lag_max_days, triggers.temperature_window_days) + 5;
  const Date from = base::plus_days(first, -back);
  return static_cast<std::size_t>(std::lower_bound(states.begin(), states.end(), from, [](const weather::DayState& s, Date d) { return s.date < d; }) - states.begin());
}

}  // namespace stumpwise::season
