#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "emerge.h"

namespace stumpwise::season {
namespace {

using weather::Day;
using weather::DayState;

/// The days to come of one member: the forecast's where it has a whole day, else the past year's, after
/// `after`.
std::vector<Day> days_to_come(const std::vector<Day>& forecast, const std::vector<Day>& member,
                              std::optional<Date> after) {
  std::map<Date, Day> days;
  for (const auto* list : {&forecast, &member})
    for (const Day& day : *list)
      if ((!after || day.date > *after) && day.mean_degc() && day.precip_mm) days.emplace(day.date, day);
  std::vector<Day> result;
  for (const auto& [date, day] : days) result.push_back(day);
  return result;
}

/// Values of one day to come: the central one of each future, and all variants of all futures.
struct Values {
  std::vector<double> central, all;
};

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  return n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
}

/// One species at one site with all its possible futures; the first `observed` days are the same in each.
class Futures {
 public:
  Futures(const species::Triggers& triggers, const weather::Site& site, const std::vector<DayState>& observed,
          const std::vector<Day>& forecast, const std::vector<std::vector<Day>>& members,
          double days_elevation_m, Date first)
      : triggers_(triggers),
        season_(triggers, site.place.lat_deg, site.elevation_m),
        life_(triggers.visible_days) {
    const Date from = observed.empty() ? first : std::min(first, observed.back().date);
    const Past past(triggers, observed, first_that_matters(triggers, life_, observed, from));
    observed_days_ = past.size();
    const std::optional<Date> after =
        observed.empty() ? std::nullopt : std::optional<Date>(observed.back().date);
    static const std::vector<std::vector<Day>> kNone(1);
    for (const auto& member : members.empty() ? kNone : members) {
      const std::vector<Day> days = days_to_come(forecast, member, after);
      Past future = past;
      if (!days.empty()) {
        const auto states = after ? weather::continue_site(observed.back(), days, days_elevation_m, site)
                                  : weather::run_site({{"", "", site.place, days_elevation_m}, days}, site);
        for (const DayState& state : states) future.append(state);
      }
      if (!future.empty()) futures_.push_back(std::move(future));
    }
    scale_ = perfect_year_scale(season_, life_);
  }

  /// Values of `n_days` days from `first` on; a day that no future knows has none.
  std::vector<Values> values(Date first, int n_days) {
    std::vector<Values> result(static_cast<std::size_t>(n_days));
    add(Variant{}, first, result, true);
    for (const Variant& variant : variants(triggers_)) add(variant, first, result, false);
    return result;
  }

  /// Words, responses and thinness of a day, from the future nearest to the median.
  void tell(Date date, double band_factor, Values values, IndexDay& day) const {
    const Past* nearest = nullptr;
    std::size_t which = 0, at = 0;
    for (std::size_t f = 0, v = 0; f < futures_.size() && v < values.central.size(); ++f) {
      const auto i = futures_[f].index_of(date);
      if (!i || !futures_[f].known[*i]) continue;
      if (!nearest || std::abs(values.central[v] - day.index) < std::abs(values.central[which] - day.index)) {
        nearest = &futures_[f];
        which = v;
        at = *i;
      }
      ++v;
    }
    std::vector<Emergence> emergences;
    Responses(triggers_, season_, life_, {}).extend(*nearest, emergences);
    describe(triggers_, season_, life_, *nearest, emergences, at, day);
    set_band(std::move(values.all), band_factor * (1 + unknown_share(life_, *nearest, at)), day);
  }

 private:
  void add(const Variant& variant, Date first, std::vector<Values>& to, bool central) {
    const Responses responses(triggers_, season_, life_, variant);
    std::vector<Emergence> emergences, shared;
    for (const Past& future : futures_) {
      emergences = shared;  // of the observed days, worked out with the first future
      responses.extend(future, emergences);
      if (shared.empty())
        shared.assign(emergences.begin(), emergences.begin() + static_cast<std::ptrdiff_t>(observed_days_));
      const auto before = season_before(season_, life_, future.first, variant.season_shift_days);
      for (std::size_t d = 0; d < to.size(); ++d) {
        const auto i = future.index_of(base::plus_days(first, static_cast<int>(d)));
        if (!i || !future.known[*i]) continue;
        if (*i < observed_days_ && &future != &futures_.front()) continue;  // the same in all
        const double index = standing(life_, future, emergences, before, *i, scale_);
        to[d].all.push_back(index);
        if (central) to[d].central.push_back(index);
      }
    }
  }

  const species::Triggers& triggers_;
  SeasonCurve season_;
  Lifetime life_;
  std::vector<Past> futures_;
  std::size_t observed_days_ = 0;
  double scale_ = 1;
};

}  // namespace

Outlook outlook(const species::Triggers& triggers, const weather::Site& site,
                const std::vector<DayState>& observed, const std::vector<Day>& forecast,
                const std::vector<std::vector<Day>>& members, double days_elevation_m, Date first, int n_days,
                double band_factor) {
  Outlook result;
  result.members = static_cast<int>(members.size());
  if (n_days <= 0) return result;
  Futures futures(triggers, site, observed, forecast, members, days_elevation_m, first);
  std::set<Date> forecast_days;
  for (const Day& day : forecast)
    if (day.mean_degc() && day.precip_mm) forecast_days.insert(day.date);
  const std::vector<Values> values = futures.values(first, n_days);
  for (int d = 0; d < n_days; ++d) {
    const Values& of_day = values[static_cast<std::size_t>(d)];
    if (of_day.central.empty()) continue;
    IndexDay day;
    day.date = base::plus_days(first, d);
    day.index = median(of_day.central);
    const bool observed_day = !observed.empty() && day.date <= observed.back().date;
    day.basis = observed_day                         ? Basis::observed
                : forecast_days.count(day.date) != 0 ? Basis::forecast
                                                     : Basis::ensemble;
    futures.tell(day.date, band_factor, of_day, day);
    result.days.push_back(std::move(day));
  }
  return result;
}

}  // namespace stumpwise::season
