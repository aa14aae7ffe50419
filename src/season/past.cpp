#include <algorithm>
#include <cmath>

#include "emerge.h"

namespace stumpwise::season {
namespace {

/// Daily factor of the antecedent precipitation index (Kohler & Linsley 1951 give 0.85 to 0.95; memory).
constexpr double kApiFactor = 0.9;

}  // namespace

Past::Past(const species::Triggers& triggers, const std::vector<weather::DayState>& states, std::size_t from)
    : triggers_(&triggers) {
  for (std::size_t i = from; i < states.size(); ++i) append(states[i]);
}

std::optional<std::size_t> Past::index_of(Date day) const {
  if (empty() || day < first || day > date(size() - 1)) return std::nullopt;
  return static_cast<std::size_t>(base::days_between(first, day));
}

void Past::append_unknown() {
  known.push_back(0);
  for (auto* values : {&temperature_degc, &water, &window_rain_mm, &tmin_degc, &own_temperature_, &own_rain_})
    values->push_back(0);
}

void Past::append(const weather::DayState& state) {
  if (empty()) first = state.date;
  while (date(size()) < state.date) append_unknown();
  if (date(size()) > state.date) return;  // a day that is there already
  append_unknown();
  const std::size_t i = size() - 1;
  known[i] = 1;
  tmin_degc[i] = state.tmin_degc;
  own_temperature_[i] =
      triggers_->temperature_of == species::TemperatureOf::soil ? state.soil_degc : state.tmean_degc;
  own_rain_[i] = state.rain_mm;
  temperature_degc[i] = window_mean(i);
  switch (triggers_->water_of) {
    case species::WaterOf::soil_water:
      water[i] = state.soil_water;
      break;
    case species::WaterOf::log_moisture:
      water[i] = state.log_moisture;
      break;
    case species::WaterOf::antecedent_rain:
      water[i] = antecedent_mm(i);
      break;
  }
  for (int lag = triggers_->lag_min_days;
       lag <= triggers_->lag_max_days && static_cast<std::size_t>(lag) <= i; ++lag)
    window_rain_mm[i] += own_rain_[i - static_cast<std::size_t>(lag)];
}

double Past::window_mean(std::size_t i) const {
  double sum = 0;
  int n = 0;
  for (int k = 0; k < std::max(1, triggers_->temperature_window_days) && static_cast<std::size_t>(k) <= i;
       ++k) {
    const std::size_t at = i - static_cast<std::size_t>(k);
    if (!known[at]) continue;
    sum += own_temperature_[at];
    ++n;
  }
  return sum / n;  // day i itself is known
}

double Past::antecedent_mm(std::size_t i) const {
  double sum = 0, weight_known = 0, weight_all = 0, weight = 1;
  for (int lag = triggers_->lag_min_days; lag <= triggers_->lag_max_days; ++lag, weight *= kApiFactor) {
    weight_all += weight;
    if (static_cast<std::size_t>(lag) > i || !known[i - static_cast<std::size_t>(lag)]) continue;
    sum += weight * own_rain_[i - static_cast<std::size_t>(lag)];
    weight_known += weight;
  }
  if (weight_known > 0) return sum * weight_all / weight_known;
  // Nothing of the window is known: the rain of the days since stands for it.
  int n = 0;
  for (int lag = 0; lag < triggers_->lag_min_days && static_cast<std::size_t>(lag) <= i; ++lag) {
    if (!known[i - static_cast<std::size_t>(lag)]) continue;
    sum += own_rain_[i - static_cast<std::size_t>(lag)];
    ++n;
  }
  return n > 0 ? sum / n * weight_all : 0;
}

double unknown_share(const Lifetime& life, const Past& past, std::size_t t) {
  double share = 0;
  for (std::size_t j = 0; j < life.share.size(); ++j)
    if (j > t || !past.known[t - j]) share += life.share[j];
  return share;
}

std::size_t first_that_matters(const species::Triggers& triggers, const Lifetime& life,
                               const std::vector<weather::DayState>& states, Date first) {
  const int back =
      static_cast<int>(life.share.size()) + std::max(triggers.lag_max_days, triggers.temperature_window_days);
  const Date from = base::plus_days(first, -back);
  const auto at = std::lower_bound(states.begin(), states.end(), from,
                                   [](const weather::DayState& s, Date d) { return s.date < d; });
  return static_cast<std::size_t>(at - states.begin());
}

}  // namespace stumpwise::season
