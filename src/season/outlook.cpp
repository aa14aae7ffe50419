#include <algorithm>
#include <map>

#include "emerge.h"

namespace stumpwise::season {
namespace {

using weather::Day;
using weather::DayState;

/// One possible future: its states after the observed ones, and the days that came from the user's forecast.
struct Future { std::vector<DayState> joined; std::size_t first_new = 0; };

Future continue_with(const std::vector<DayState>& observed, const std::vector<Day>& forecast, const std::vector<Day>& member, double days_elevation_m, const weather::Site& site) {
  Future future{observed, observed.size()};
  std::vector<Day> days = forecast;
  for (const Day& day : member)
    if (days.empty() || day.date > days.back().date) days.push_back(day);
  const auto more = observed.empty() ? weather::run_site({{"", "", site.place, days_elevation_m}, days}, site) : weather::continue_site(observed.back(), days, days_elevation_m, site);
  future.joined.insert(future.joined.end(), more.begin(), more.end());
  return future;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  return n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
}

}  // namespace

Outlook outlook(const species::Triggers& triggers, const weather::Site& site, const std::vector<DayState>& observed, const std::vector<Day>& forecast,
                const std::vector<std::vector<Day>>& members, double days_elevation_m, Date first, int n_days, double band_factor) {
  constexpr int kVariants = 12;
  const std::vector<DayState> past(observed.begin() + static_cast<std::ptrdiff_t>(first_that_matters(triggers, observed, std::min(first, observed.empty() ? first : observed.back().date))), observed.end());
  std::vector<Future> futures;
  for (const auto& member : members) futures.push_back(continue_with(past, forecast, member, days_elevation_m, site));
  if (futures.empty()) futures.push_back(continue_with(past, forecast, {}, days_elevation_m, site));

  std::vector<Variant> all{Variant{}};
  for (const Variant& variant : variants(triggers, kVariants)) all.push_back(variant);
  std::map<Date, std::vector<double>> central, spread;
  for (std::size_t v = 0; v < all.size(); ++v) {
    const std::vector<double> before = past.empty() ? std::vector<double>{} : index_series(triggers, site, past, all[v]);
    const Emerger emerger(triggers, site, all[v]);
    auto& into = v == 0 ? central : spread;
    for (std::size_t i = 0; i < past.size(); ++i)
      if (past[i].date >= first) into[past[i].date].push_back(before[i]);
    for (const Future& future : futures) {
      double index = before.empty() ? 0 : before.back();
      for (std::size_t i = future.first_new; i < future.joined.size(); ++i) {
        const Emergence today = emerger.at(future.joined, i);
        const int passed = i == 0 ? 1 : base::days_between(future.joined[i - 1].date, future.joined[i].date);
        index = i == 0 ? today.keep * today.product() : next_index(index, today, emerger.survival(), passed);
        if (future.joined[i].date >= first) into[future.joined[i].date].push_back(index);
      }
    }
  }

  Outlook result;
  result.members = static_cast<int>(members.size());
  const Date last_forecast = forecast.empty() ? first - std::chrono::days{36500} : forecast.back().date;
  const Date last_observed = observed.empty() ? first - std::chrono::days{1} : observed.back().date;
  const Emerger emerger(triggers, site, {});
  for (const auto& [date, values] : central) {
    if (base::days_between(first, date) >= n_days) break;
    IndexDay day;
    day.date = date;
    day.index = median(values);
    day.basis = date <= last_observed ? Basis::observed : date <= last_forecast ? Basis::forecast : Basis::ensemble;
    std::vector<double> band = spread[date];
    band.insert(band.end(), values.begin(), values.end());
    set_band(std::move(band), band_factor, day);
    // The words are those of the future nearest to the median.
    const Future* nearest = &futures.front();
    for (std::size_t f = 0; f < futures.size() && date > last_observed && f < values.size(); ++f)
      if (std::abs(values[f] - day.index) < std::abs(values[static_cast<std::size_t>(nearest - futures.data())] - day.index)) nearest = &futures[f];
    const auto at = std::find_if(nearest->joined.begin(), nearest->joined.end(), [d = date](const DayState& s) { return s.date == d; });
    if (at != nearest->joined.end()) {
      const auto i = static_cast<std::size_t>(at - nearest->joined.begin());
      day.today = emerger.at(nearest->joined, i);
      describe(triggers, emerger, nearest->joined, i, day);
    }
    result.days.push_back(std::move(day));
  }
  return result;
}

}  // namespace stumpwise::season
