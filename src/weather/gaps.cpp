#include <algorithm>
#include <cmath>
#include <map>

#include "stumpwise/weather/read.h"

namespace stumpwise::weather {
namespace {

using Has = bool (*)(const Day&);

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

bool has_temperature(const Day& day) { return day.mean_degc().has_value(); }
bool has_rain(const Day& day) { return day.precip_mm.has_value(); }

bool fill_temperature(Series& series, std::size_t first, std::size_t last) {
  if (first == 0 || last + 1 >= series.days.size()) return false;
  const Day before = series.days[first - 1], after = series.days[last + 1];
  const double steps = static_cast<double>(last - first + 2);
  for (std::size_t i = first; i <= last; ++i) {
    const double share = static_cast<double>(i - first + 1) / steps;
    auto between = [&](const std::optional<double>& a, const std::optional<double>& b) -> std::optional<double> {
      if (!a || !b) return std::nullopt;
      return *a + (*b - *a) * share;
    };
    Day& day = series.days[i];
    day.tmin_degc = between(before.tmin_degc, after.tmin_degc);
    day.tmax_degc = between(before.tmax_degc, after.tmax_degc);
    day.tmean_degc = between(before.mean_degc(), after.mean_degc());
    if (day.tmin_degc && day.tmax_degc) day.tmean_degc.reset();
    day.method = "straight line between neighbours";
  }
  return true;
}

/// Mean precipitation of the calendar days within a week in other years, where at least two years have them.
std::optional<double> usual_rain(const Series& series, Date date) {
  std::map<int, std::pair<double, int>> by_year;
  const int wanted = base::day_of_year(date);
  for (const Day& day : series.days) {
    if (!day.precip_mm || !day.method.empty() || base::year_of(day.date) == base::year_of(date)) continue;
    const int apart = std::abs(base::day_of_year(day.date) - wanted);
    if (std::min(apart, 365 - apart) > 7) continue;
    auto& [sum, n] = by_year[base::year_of(day.date)];
    sum += *day.precip_mm;
    ++n;
  }
  if (by_year.size() < 2) return std::nullopt;
  double sum = 0;
  int n = 0;
  for (const auto& [year, part] : by_year) {
    sum += part.first;
    n += part.second;
  }
  return sum / n;
}

}  // namespace

std::vector<Gap> fill_gaps(Series& series, int most_days) {
  complete_calendar(series);
  std::vector<Gap> gaps;
  for (const auto& [first, last] : holes(series, has_temperature)) {
    Gap gap{series.days[first].date, series.days[last].date, "temperature", false, "left open: longer than " + std::to_string(most_days) + " days"};
    if (static_cast<int>(last - first) + 1 <= most_days && fill_temperature(series, first, last)) {
      gap.filled = true;
      gap.method = "straight line between neighbours";
    }
    gaps.push_back(gap);
  }
  for (const auto& [first, last] : holes(series, has_rain)) {
    Gap gap{series.days[first].date, series.days[last].date, "precipitation", false, "left open: longer than " + std::to_string(most_days) + " days"};
    if (static_cast<int>(last - first) + 1 <= most_days) {
      std::vector<double> usual;
      for (std::size_t i = first; i <= last; ++i)
        if (const auto rain = usual_rain(series, series.days[i].date)) usual.push_back(*rain);
      gap.filled = usual.size() == last - first + 1;
      gap.method = gap.filled ? "mean of the same days of other years" : "left open: fewer than two other years";
      for (std::size_t i = first; gap.filled && i <= last; ++i) {
        series.days[i].precip_mm = usual[i - first];
        series.days[i].method += (series.days[i].method.empty() ? "" : "; ") + gap.method;
      }
    }
    gaps.push_back(gap);
  }
  return gaps;
}

}  // namespace stumpwise::weather
