#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "stumpwise/base/text.h"
#include "stumpwise/weather/read.h"

namespace stumpwise::weather {
namespace {

using Has = bool (*)(const Day&);
constexpr const char* kLine = "straight line between neighbours";

bool has_temperature(const Day& day) {
  return day.mean_degc().has_value();
}
bool has_rain(const Day& day) {
  return day.precip_mm.has_value();
}

/// Makes the series run day by day: a day that has no row gets one without values.
void complete_calendar(Series& series) {
  std::vector<Day> days;
  for (Day& day : series.days) {
    while (!days.empty() && base::days_between(days.back().date, day.date) > 1) {
      Day blank;
      blank.date = base::plus_days(days.back().date, 1);
      days.push_back(blank);
    }
    days.push_back(std::move(day));
  }
  series.days = std::move(days);
}

/// First and last index of every stretch without a value.
std::vector<std::pair<std::size_t, std::size_t>> holes(const Series& series, Has has) {
  std::vector<std::pair<std::size_t, std::size_t>> found;
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    if (has(series.days[i])) continue;
    const std::size_t first = i;
    while (i + 1 < series.days.size() && !has(series.days[i + 1])) ++i;
    found.emplace_back(first, i);
  }
  return found;
}

void say_method(Day& day, const std::string& method) {
  day.method += (day.method.empty() ? "" : "; ") + method;
}

/// A measured extreme of a day whose other one is missing stays as it is; the filled one gives way to it.
void fill_day(Day& day, const Day& before, const Day& after, double share) {
  auto between = [&](const std::optional<double>& a,
                     const std::optional<double>& b) -> std::optional<double> {
    if (!a || !b) return std::nullopt;
    return *a + (*b - *a) * share;
  };
  const auto low = between(before.tmin_degc, after.tmin_degc),
             high = between(before.tmax_degc, after.tmax_degc);
  if (low && high) {
    if (day.tmin_degc)
      day.tmax_degc = std::max(*high, *day.tmin_degc);
    else if (day.tmax_degc)
      day.tmin_degc = std::min(*low, *day.tmax_degc);
    else
      day.tmin_degc = low, day.tmax_degc = high;
  } else {
    day.tmean_degc = between(before.mean_degc(), after.mean_degc());
    if (day.tmin_degc) day.tmean_degc = std::max(*day.tmean_degc, *day.tmin_degc);
    if (day.tmax_degc) day.tmean_degc = std::min(*day.tmean_degc, *day.tmax_degc);
  }
  say_method(day, kLine);
}

Gap fill_temperature(Series& series, std::size_t first, std::size_t last, int most_days) {
  Gap gap{series.days[first].date, series.days[last].date, "temperature", false, {}};
  if (static_cast<int>(last - first) + 1 > most_days) {
    gap.method = "left open: longer than " + std::to_string(most_days) + " days";
  } else if (first == 0 || last + 1 >= series.days.size()) {
    gap.method = "left open: no measured day on both sides";
  } else {
    const Day before = series.days[first - 1], after = series.days[last + 1];
    for (std::size_t i = first; i <= last; ++i)
      fill_day(series.days[i], before, after,
               static_cast<double>(i - first + 1) / static_cast<double>(last - first + 2));
    gap.filled = true;
    gap.method = kLine;
  }
  return gap;
}

/// Mean precipitation of the calendar days within a week in other years, where at least two years have them;
/// the years go into `years`.
std::optional<double> usual_rain(const Series& series, Date date, std::set<int>& years) {
  std::set<int> here;
  double sum = 0;
  int n = 0;
  const int wanted = base::day_of_year(date), own = base::year_of(date);
  for (const Day& day : series.days) {
    if (!day.precip_mm || !day.method.empty()) continue;
    const int apart = std::abs(base::day_of_year(day.date) - wanted), year = base::year_of(day.date);
    // Across the turn of the year a day of the own winter may come in from the neighbouring year: within a
    // month it is not "another year".
    if (std::min(apart, 365 - apart) > 7 || year == own || std::abs(base::days_between(day.date, date)) < 30)
      continue;
    here.insert(year);
    sum += *day.precip_mm;
    ++n;
  }
  if (here.size() < 2) return std::nullopt;
  years.insert(here.begin(), here.end());
  return sum / n;
}

std::string span(const std::set<int>& years) {
  const std::string ends = std::to_string(*years.begin()) + "-" + std::to_string(*years.rbegin());
  const bool unbroken = *years.rbegin() - *years.begin() + 1 == static_cast<int>(years.size());
  return unbroken ? ends : std::to_string(years.size()) + " years of " + ends;
}

Gap fill_rain(Series& series, std::size_t first, std::size_t last, int most_days) {
  Gap gap{series.days[first].date, series.days[last].date, "precipitation", false, {}};
  if (static_cast<int>(last - first) + 1 > most_days) {
    gap.method = "left open: longer than " + std::to_string(most_days) + " days";
    return gap;
  }
  std::vector<double> usual;
  std::set<int> years;
  for (std::size_t i = first; i <= last; ++i)
    if (const auto rain = usual_rain(series, series.days[i].date, years)) usual.push_back(*rain);
  gap.filled = usual.size() == last - first + 1;
  gap.method = gap.filled ? "mean of the same days (a week either side) of " + span(years)
                          : "left open: fewer than two other years have these days";
  for (std::size_t i = first; gap.filled && i <= last; ++i) {
    series.days[i].precip_mm = usual[i - first];
    say_method(series.days[i], gap.method);
  }
  return gap;
}

}  // namespace

std::vector<Gap> fill_gaps(Series& series, int most_days) {
  complete_calendar(series);
  std::vector<Gap> gaps;
  for (const auto& [first, last] : holes(series, has_temperature))
    gaps.push_back(fill_temperature(series, first, last, most_days));
  for (const auto& [first, last] : holes(series, has_rain))
    gaps.push_back(fill_rain(series, first, last, most_days));
  std::stable_sort(gaps.begin(), gaps.end(), [](const Gap& a, const Gap& b) { return a.first < b.first; });
  return gaps;
}

}  // namespace stumpwise::weather
