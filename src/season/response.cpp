#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "emerge.h"
#include "stumpwise/base/error.h"
#include "stumpwise/stat/circular.h"

namespace stumpwise::season {
namespace {

constexpr double kYear_days = 365.25;
/// Hopkins 1918: four days later for each degree north or 122 m up, in spring (memory).
constexpr double kDaysPerDegree = 4.0, kDaysPerMetre = 4.0 / 122.0, kReferenceLatitude_deg = 45.0;
/// Frost takes a soft body from the killing temperature down over this many degrees (assumption).
constexpr double kFrostRange_degc = 3.0;

double turn_of(double days) {
  return days * 2 * std::numbers::pi / kYear_days;
}

}  // namespace

SeasonCurve::SeasonCurve(const species::Triggers& triggers, double latitude_deg, double elevation_m) {
  const bool south = latitude_deg < 0;
  const double delay_days =
      (std::abs(latitude_deg) - kReferenceLatitude_deg) * kDaysPerDegree + elevation_m * kDaysPerMetre;
  for (const species::SeasonMode& mode : triggers.season) {
    const double peak =
        mode.peak_day + (mode.spring ? delay_days : -delay_days) + (south ? kYear_days / 2 : 0);
    modes_.push_back({peak, stat::kappa_from_sd(turn_of(mode.spread_days)), mode.weight});
  }
  table_.resize(367);
  for (std::size_t day = 0; day < table_.size(); ++day) table_[day] = raw(static_cast<double>(day));
  // The highest point of a mixture need not be a mode's own peak, nor a whole day: both are looked at.
  double most = *std::max_element(table_.begin(), table_.end());
  for (const Mode& mode : modes_) most = std::max(most, raw(mode.peak_day));
  for (double& value : table_) value = most > 0 ? value / most : 1;
}

double SeasonCurve::raw(double day) const {
  if (modes_.empty()) return 1;
  double sum = 0;
  for (const Mode& mode : modes_)
    sum += mode.weight * std::exp(mode.kappa * (std::cos(turn_of(day - mode.peak_day)) - 1));
  return sum;
}

double SeasonCurve::at(double day) const {
  day = std::fmod(day, kYear_days);
  if (day < 0) day += kYear_days;
  const auto i = std::min<std::size_t>(static_cast<std::size_t>(day), table_.size() - 2);
  return table_[i] + (table_[i + 1] - table_[i]) * (day - static_cast<double>(i));
}

std::optional<SeasonCurve::Peak> SeasonCurve::nearest_peak(Date date) const {
  std::optional<Peak> best;
  double most = 0;
  for (const Mode& mode : modes_) most = std::max(most, mode.weight);
  for (const Mode& mode : modes_) {
    const double apart = std::remainder(mode.peak_day - base::day_of_year(date), kYear_days);
    const Peak peak{static_cast<int>(std::lround(apart)), mode.weight < most / 2};
    if (!best || std::abs(peak.days_ahead) < std::abs(best->days_ahead)) best = peak;
  }
  return best;
}

double season_response(const species::Triggers& triggers, Date date, double latitude_deg, double elevation_m,
                       double shift_days) {
  return SeasonCurve(triggers, latitude_deg, elevation_m).at(base::day_of_year(date) - shift_days);
}

double beta_response(double t, double t_min, double t_opt, double t_max) {
  if (!(t_min < t_opt && t_opt < t_max))
    throw Error(ErrorCode::bad_value,
                fmt::format("temperature limits {}, {}, {} °C: must rise", t_min, t_opt, t_max));
  if (!(t > t_min && t < t_max)) return 0;
  return (t_max - t) / (t_max - t_opt) *
         std::pow((t - t_min) / (t_opt - t_min), (t_opt - t_min) / (t_max - t_opt));
}

Lifetime::Lifetime(double visible_days) {
  constexpr double kShape = 4, kCut = 0.01;
  const double mean_days = std::max(1.0, visible_days);
  double sum = 0;
  for (int j = 0;; ++j) {
    // Survival of a gamma lifetime of shape 4 (Erlang): exp(-x) (1 + x + x^2/2 + x^3/6), at the middle of the
    // day.
    const double x = kShape * (j + 0.5) / mean_days;
    const double visible = std::exp(-x) * (1 + x + x * x / 2 + x * x * x / 6);
    if (visible < kCut && j > 0) break;
    share.push_back(visible);
    sum += visible;
  }
  for (double& value : share) value /= sum;
  // Mean age of what stands in a steady crop: mean (1 + cv^2) / 2 = 5/8 of the mean lifetime.
  lead_days = static_cast<int>(std::lround(mean_days * (1 + 1 / kShape) / 2));
}

Responses::Responses(const species::Triggers& triggers, const SeasonCurve& season, const Lifetime& life,
                     const Variant& variant)
    : triggers_(triggers), season_(season), lead_days_(life.lead_days), variant_(variant) {}

Emergence Responses::at(const Past& past, std::size_t i) const {
  Emergence e;
  e.season = season_.at(base::day_of_year(past.date(i)) + lead_days_ - variant_.season_shift_days);
  if (!past.known[i]) return e;
  const species::Triggers& t = triggers_;
  e.temperature = beta_response(past.temperature_degc[i] - variant_.t_shift_degc, t.t_min_degc, t.t_opt_degc,
                                t.t_max_degc);
  if (t.water_of == species::WaterOf::antecedent_rain) {
    e.water = 1 - std::exp(-past.water[i] / (t.rain_mm * variant_.rain_factor));
  } else {
    const double share = past.water[i] / t.moist_share;
    e.water = 1 - std::exp(-share * share / variant_.rain_factor);
  }
  if (t.frost_kill_degc)
    e.keep = std::clamp(1 - (*t.frost_kill_degc - past.tmin_degc[i]) / kFrostRange_degc, 0.0, 1.0);
  return e;
}

void Responses::extend(const Past& past, std::vector<Emergence>& to) const {
  to.reserve(past.size());
  while (to.size() < past.size()) to.push_back(at(past, to.size()));
}

double perfect_year_scale(const SeasonCurve& season, const Lifetime& life) {
  double most = 0;
  for (int day = 0; day < 366; ++day) {
    double sum = 0;
    for (std::size_t j = 0; j < life.share.size(); ++j)
      sum += life.share[j] * season.at(day + life.lead_days - static_cast<double>(j));
    most = std::max(most, sum);
  }
  return most > 0 ? 1 / most : 1;
}

}  // namespace stumpwise::season
