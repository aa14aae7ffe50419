#include "stumpwise/season/index.h"

#include "emerge.h"

namespace stumpwise::season {

using weather::DayState;

std::string basis_name(Basis basis) {
  switch (basis) {
    case Basis::observed: return "observed";
    case Basis::forecast: return "forecast";
    case Basis::ensemble: break;
  }
  return "past years";
}

std::vector<double> index_series(const species::Triggers& triggers, const weather::Site& site, const std::vector<DayState>& states, const Variant& variant) {
  const Emerger emerger(triggers, site, variant);
  std::vector<double> series;
  series.reserve(states.size());
  for (std::size_t i = 0; i < states.size(); ++i) {
    const Emergence today = emerger.at(states, i);
    // Before the first day nothing is known: the first day's own conditions stand in for its past.
    series.push_back(i == 0 ? today.keep * today.product() : next_index(series.back(), today, emerger.survival(), base::days_between(states[i - 1].date, states[i].date)));
  }
  return series;
}

std::vector<IndexDay> index_days(const species::Triggers& triggers, const weather::Site& site, const std::vector<DayState>& states, Date first, Date last, double band_factor) {
  constexpr int kVariants = 24;
  const std::vector<DayState> part(states.begin() + static_cast<std::ptrdiff_t>(first_that_matters(triggers, states, first)), states.end());
  const std::vector<double> central = index_series(triggers, site, part);
  std::vector<std::vector<double>> spread;
  for (const Variant& variant : variants(triggers, kVariants)) spread.push_back(index_series(triggers, site, part, variant));
  const Emerger emerger(triggers, site, {});
  std::vector<IndexDay> days;
  for (std::size_t i = 0; i < part.size(); ++i) {
    if (part[i].date < first || part[i].date > last) continue;
    IndexDay day;
    day.date = part[i].date;
    day.index = central[i];
    day.basis = Basis::observed;
    day.today = emerger.at(part, i);
    std::vector<double> values;
    for (const auto& series : spread) values.push_back(series[i]);
    set_band(std::move(values), band_factor, day);
    describe(triggers, emerger, part, i, day);
    days.push_back(std::move(day));
  }
  return days;
}

}  // namespace stumpwise::season
