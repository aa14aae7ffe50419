#include "stumpwise/season/index.h"

#include <algorithm>

#include "emerge.h"

namespace stumpwise::season {

using weather::DayState;

std::string basis_name(Basis basis) {
  switch (basis) {
    case Basis::observed:
      return "observed";
    case Basis::forecast:
      return "forecast";
    case Basis::ensemble:
      break;
  }
  return "past years";
}

std::vector<double> season_before(const SeasonCurve& season, const Lifetime& life, Date first,
                                  double shift_days) {
  std::vector<double> before;
  for (std::size_t k = 1; k < life.share.size(); ++k)
    before.push_back(
        season.at(base::day_of_year(first) - static_cast<double>(k) + life.lead_days - shift_days));
  return before;
}

double standing(const Lifetime& life, const Past& past, const std::vector<Emergence>& emergences,
                const std::vector<double>& before_first, std::size_t t, double scale) {
  double sum = 0, season_known = 0, season_all = 0, kept = 1;
  for (std::size_t j = 0; j < life.share.size(); ++j) {
    if (j > t) {
      season_all += life.share[j] * before_first[j - t - 1];
      continue;
    }
    const std::size_t day = t - j;
    const Emergence& e = emergences[day];
    const double season = life.share[j] * e.season;
    season_all += season;
    if (!past.known[day]) continue;
    kept *= e.keep;
    season_known += season;
    sum += season * e.temperature * e.water * kept;
  }
  // Days that are not known were as good as the known ones, by the season's weight of each.
  if (season_known <= 0) return 0;
  return std::clamp(scale * sum * (season_all / season_known), 0.0, 1.0);
}

std::vector<double> index_series(const species::Triggers& triggers, const weather::Site& site,
                                 const std::vector<DayState>& states, const Variant& variant) {
  if (states.empty()) return {};
  const SeasonCurve season(triggers, site.place.lat_deg, site.elevation_m);
  const Lifetime life(triggers.visible_days);
  const Past past(triggers, states, 0);
  std::vector<Emergence> emergences;
  Responses(triggers, season, life, variant).extend(past, emergences);
  const double scale = perfect_year_scale(season, life);
  const auto before = season_before(season, life, past.first, variant.season_shift_days);
  std::vector<double> series;
  series.reserve(states.size());
  for (const DayState& state : states)
    series.push_back(standing(life, past, emergences, before, *past.index_of(state.date), scale));
  return series;
}

std::vector<IndexDay> index_days(const species::Triggers& triggers, const weather::Site& site,
                                 const std::vector<DayState>& states, Date first, Date last,
                                 double band_factor) {
  if (states.empty() || last < first) return {};
  // All of these days are observed: the same as an outlook that ends with them.
  const auto end = std::upper_bound(states.begin(), states.end(), last,
                                    [](Date d, const DayState& s) { return d < s.date; });
  const std::vector<DayState> part(states.begin(), end);
  if (part.empty()) return {};
  return outlook(triggers, site, part, {}, {}, site.elevation_m, first, base::days_between(first, last) + 1,
                 band_factor)
      .days;
}

}  // namespace stumpwise::season
