#include "climate.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stumpwise/base/random.h"

namespace stumpwise::demo {
namespace {

using base::make_date;

double cycle(Date date, double peak_day) {
  return std::cos(2 * 3.141592653589793 * (base::day_of_year(date) - peak_day) / 365.25);
}
bool between(Date date, Date first, Date last) {
  return date >= first && date <= last;
}
double tenth(double value) {
  return std::round(value * 10) / 10;
}

bool in_drought(Date date) {
  return between(date, make_date(2025, 6, 18), make_date(2025, 8, 27));
}

/// The night frost of 2024-05-11 and its neighbours, of a clear cold spell.
void put_may_frost(ClimateDay& day) {
  if (!between(day.date, make_date(2024, 5, 10), make_date(2024, 5, 12))) return;
  const bool hardest = day.date == make_date(2024, 5, 11);
  day.tmin_degc = hardest ? -3.2 : -0.9;
  day.tmax_degc = hardest ? 9.4 : 10.8;
  day.rain_mm = 0;
}

void lose_records(std::vector<ClimateDay>& days, base::Random& random) {
  for (ClimateDay& day : days)
    if (between(day.date, make_date(2024, 1, 18), make_date(2024, 2, 8))) day.in_file = false;
  for (int k = 0; k < 7; ++k) {
    const int first = random.integer(20, static_cast<int>(days.size()) - 60), length = random.integer(1, 3);
    const bool rain = random.chance(0.4);
    for (int i = first; i < first + length; ++i)
      (rain ? days[i].recorded_rain : days[i].recorded_temperature) = false;
  }
}

}  // namespace

std::vector<ClimateDay> make_climate(std::uint64_t seed) {
  base::Random random(seed);
  std::vector<ClimateDay> days;
  double anomaly = 0;
  bool wet = false;
  for (Date date = make_date(2023, 1, 1); date <= make_date(2026, 11, 25); date = base::plus_days(date, 1)) {
    ClimateDay day;
    day.date = date;
    const double winter = cycle(date, 15);  // 1 in mid-January, -1 in mid-July
    anomaly = 0.74 * anomaly + random.normal(0, 2.2 + 0.5 * winter);
    const double chance = (wet ? 0.58 : 0.31) + 0.04 * cycle(date, 320);
    wet = random.chance(in_drought(date) ? 0.12 * chance : chance);
    const double amount = random.gamma(0.8, 8.3);
    day.rain_mm = wet ? std::max(0.2, tenth(in_drought(date) ? 0.4 * amount : amount)) : 0;
    double mean = 9.4 + 9.0 * cycle(date, 200) + anomaly;
    if (between(date, make_date(2025, 1, 4), make_date(2025, 1, 29))) mean += 5.5 - 0.5 * anomaly;
    if (in_drought(date)) mean += 1.8;
    const double range = std::max(2.5, (wet ? 6.5 : 10.5) - 1.8 * winter + random.normal(0, 1.6));
    day.tmin_degc = tenth(mean - range / 2);
    day.tmax_degc = tenth(mean + range / 2);
    put_may_frost(day);
    days.push_back(day);
  }
  lose_records(days, random);
  return days;
}

std::string climate_csv(const std::vector<ClimateDay>& days) {
  std::string text = "date,tmin_c,tmax_c,precip_mm\n";
  for (const ClimateDay& day : days) {
    if (!day.in_file) continue;
    text += base::to_text(day.date);
    text += day.recorded_temperature ? fmt::format(",{:.1f},{:.1f}", day.tmin_degc, day.tmax_degc) : ",,";
    text += day.recorded_rain ? fmt::format(",{:.1f}\n", day.rain_mm) : ",\n";
  }
  return text;
}

}  // namespace stumpwise::demo
