#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "read_private.h"

namespace stumpwise::weather {
namespace {

/// Thermometers are not older, and no forecast reaches further: a year outside is a slip of the pen.
constexpr int kFirstYear = 1700, kLastYear = 2200;
/// Means of a year outside of which rain is likely in another unit: the driest woods have some 150 mm, the
/// wettest some 8000.
constexpr double kDryYear_mm = 100, kWetYear_mm = 9000;

bool whole(double value) {
  return value == std::floor(value);
}

}  // namespace

void DayChecker::fault(int line, const std::string& field, const std::string& text) {
  issues_.push_back({Severity::fault, file_, line, field, text});
}

void DayChecker::take(std::vector<base::Issue> issues) {
  issues_.insert(issues_.end(), std::make_move_iterator(issues.begin()),
                 std::make_move_iterator(issues.end()));
}

void DayChecker::check_range(int line, const char* field, const std::optional<double>& value, double low,
                             double high, const char* unit) {
  if (value && (*value < low || *value > high))
    fault(line, field, fmt::format("{:.6g} {}: allowed {:g} to {:g} {}", *value, unit, low, high, unit));
}

void DayChecker::check_order(const Day& day, int line) {
  auto both = [&](const char* field, const std::optional<double>& low, const std::optional<double>& high,
                  const char* other, const char* unit) {
    // A hundredth is forgiven: the same value may come from two roundings.
    if (low && high && *low > *high + 0.01)
      fault(line, field, fmt::format("{:.6g} {} is above {} {:.6g} {}", *low, unit, other, *high, unit));
  };
  both("tmin", day.tmin_degc, day.tmax_degc, "tmax", "°C");
  both("tmean", day.tmean_degc, day.tmax_degc, "tmax", "°C");
  if (day.tmin_degc && day.tmean_degc && *day.tmean_degc < *day.tmin_degc - 0.01)
    fault(line, "tmean", fmt::format("{:.6g} °C is below tmin {:.6g} °C", *day.tmean_degc, *day.tmin_degc));
  both("rh_min", day.rh_min_pct, day.rh_max_pct, "rh_max", "%");
}

void DayChecker::add(Day day, int line) {
  for (const auto& [field, value] :
       {std::pair{"tmin", day.tmin_degc}, {"tmax", day.tmax_degc}, {"tmean", day.tmean_degc}}) {
    if (!value) continue;
    temperatures_.push_back(*value);
    if (*value < kLowest_degc || *value > kHighest_degc)
      temperature_ranges_.push_back(
          {Severity::fault, file_, line, field,
           fmt::format("{:.6g} °C: allowed {:g} to {:g} °C", *value, kLowest_degc, kHighest_degc)});
  }
  check_range(line, "precip", day.precip_mm, 0, kMostRain_mm, "mm");
  check_range(line, "snow_depth", day.snow_depth_mm, 0, 15000, "mm");
  check_range(line, "snowfall", day.snowfall_mm, 0, 3000, "mm");
  check_range(line, "rh_min", day.rh_min_pct, 0, 100, "%");
  check_range(line, "rh_max", day.rh_max_pct, 0, 100, "%");
  check_range(line, "wind", day.wind_m_per_s, 0, 115, "m/s");
  check_range(line, "sun", day.sun_hours, 0, 24, "h");
  check_order(day, line);
  if (const int year = base::year_of(day.date); year < kFirstYear || year > kLastYear)
    return fault(line, "date",
                 fmt::format("{}: years {} to {}", base::to_text(day.date), kFirstYear, kLastYear));
  const auto [at, fresh] = lines_.emplace(day.date, line);
  if (!fresh)
    return fault(line, "date",
                 base::to_text(day.date) + " stands already on line " + std::to_string(at->second));
  days_.push_back(std::move(day));
}

std::string DayChecker::betrayed_unit() const {
  const auto n = temperatures_.size();
  const auto hot = static_cast<std::size_t>(
      std::count_if(temperatures_.begin(), temperatures_.end(), [](double t) { return t > 45; }));
  if (n == 0 || hot * 10 <= n) return {};
  const auto [low, high] = std::minmax_element(temperatures_.begin(), temperatures_.end());
  if (*low > 180) return "k";
  // The hottest day ever measured on earth had 134 degF.
  return *high > 134 ? "tenth_degc" : "degf";
}

void DayChecker::judge_units() {
  if (const std::string unit = betrayed_unit(); !unit.empty()) {
    const char* name = unit == "degf" ? "degrees Fahrenheit" : unit == "k" ? "kelvin" : "tenths of °C";
    fault(0, "units",
          fmt::format("temperatures up to {:g}, more than a tenth of them above 45: they look like {}. Say "
                      "so: --columns "
                      "date=NAME,tmin=NAME:{},tmax=NAME:{},precip=NAME:mm",
                      *std::max_element(temperatures_.begin(), temperatures_.end()), name, unit, unit));
  } else {
    take(std::move(temperature_ranges_));
  }
  double sum = 0;
  int n = 0;
  bool all_whole = true;
  for (const Day& day : days_) {
    if (!day.precip_mm) continue;
    sum += *day.precip_mm;
    ++n;
    all_whole = all_whole && whole(*day.precip_mm);
  }
  if (n < 365) return;
  const double year_mm = sum / n * 365.25;
  auto warn = [&](const char* looks, const char* unit) {
    issues_.push_back(
        {Severity::warning, file_, 0, "precip",
         fmt::format("{:.0f} mm of precipitation a year: if the values are {}, say so: precip=NAME:{}",
                     year_mm, looks, unit)});
  };
  if (year_mm > 0 && year_mm < kDryYear_mm && !all_whole) warn("inches", "in");
  if (year_mm > kWetYear_mm && all_whole) warn("tenths of mm", "tenth_mm");
}

void DayChecker::finish(Parsed<Series>& result) {
  judge_units();
  std::stable_sort(issues_.begin(), issues_.end(),
                   [](const base::Issue& a, const base::Issue& b) { return a.line < b.line; });
  std::sort(days_.begin(), days_.end(), [](const Day& a, const Day& b) { return a.date < b.date; });
  result.value.days = std::move(days_);
  result.issues.insert(result.issues.end(), issues_.begin(), issues_.end());
  if (result.value.days.empty() && !base::has_fault(result.issues))
    result.issues.push_back({Severity::fault, file_, 0, "", "holds no day"});
}

}  // namespace stumpwise::weather
