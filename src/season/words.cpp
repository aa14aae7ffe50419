// The driver and the limit of a day in plain words. A factor is judged over the days on which what stands now
// came up (weighted by life), since that is what the index is made of; where today's own value tells another
// story than those days, the words say so.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "emerge.h"

namespace stumpwise::season {
namespace {

/// A response from here on counts as good; the windows in the words are where the response reaches it.
constexpr double kGood = 0.7;
constexpr double kHolds = 0.85;  ///< from here on a factor holds nothing down
constexpr double kLifts = 0.45;  ///< below this a factor lifts nothing

struct Window {
  double low_degc, high_degc;
};

/// Where the beta response is at least kGood, by bisection on both flanks.
Window good_window(const species::Triggers& t) {
  auto edge = [&](double outside, double inside) {
    for (int i = 0; i < 40; ++i) {
      const double middle = (outside + inside) / 2;
      (beta_response(middle, t.t_min_degc, t.t_opt_degc, t.t_max_degc) < kGood ? outside : inside) = middle;
    }
    return inside;
  };
  return {edge(t.t_min_degc, t.t_opt_degc), edge(t.t_max_degc, t.t_opt_degc)};
}

/// Without "-0".
std::string whole(double value) {
  return fmt::format("{:d}", std::lround(value));
}

/// Each factor and what it was made of, over the life of what stands now.
struct Means {
  double season = 0, temperature = 0, water = 0, kept = 0, degc = 0, wet = 0;
};

Means means(const Lifetime& life, const Past& past, const std::vector<Emergence>& emergences, std::size_t t) {
  Means m;
  double sum = 0, kept = 1;
  for (std::size_t j = 0; j < life.share.size() && j <= t; ++j) {
    const std::size_t i = t - j;
    if (!past.known[i]) continue;
    const Emergence& e = emergences[i];
    const double w = life.share[j];
    kept *= e.keep;
    sum += w;
    m.season += w * e.season;
    m.temperature += w * e.temperature;
    m.water += w * e.water;
    m.kept += w * kept;
    m.degc += w * past.temperature_degc[i];
    m.wet += w * past.water[i];
  }
  for (double* value : {&m.season, &m.temperature, &m.water, &m.kept, &m.degc, &m.wet}) *value /= sum;
  return m;
}

/// Today's value is what the words are about, unless it is on the other side of "good" than the days that
/// made the index.
bool told_by_today(double today, double over_life) {
  return (today >= kGood) == (over_life >= kGood);
}

std::string temperature_words(const species::Triggers& t, double now_degc, double today, const Means& m) {
  const char* what = t.temperature_of == species::TemperatureOf::soil ? "soil" : "air";
  const Window window = good_window(t);
  auto where = [&](double degc) {
    if (std::lround(degc) < std::lround(window.low_degc)) return "below";
    return std::lround(degc) > std::lround(window.high_degc) ? "above" : "inside";
  };
  const std::string range = window.low_degc < 0
                                ? fmt::format("{} to {}", whole(window.low_degc), whole(window.high_degc))
                                : fmt::format("{}-{}", whole(window.low_degc), whole(window.high_degc));
  const std::string days =
      t.temperature_window_days > 1 ? fmt::format(" (mean of {} days)", t.temperature_window_days) : "";
  if (told_by_today(today, m.temperature))
    return fmt::format("{} {} °C{}, {} the {} °C window", what, whole(now_degc), days, where(now_degc),
                       range);
  if (today < kGood)
    return fmt::format("{} {} °C now, {} the {} °C window, but {} °C while what stands now came up", what,
                       whole(now_degc), where(now_degc), range, whole(m.degc));
  return fmt::format("{} {} °C now, but {} °C on average while what stands now came up ({} °C is good)", what,
                     whole(now_degc), whole(m.degc), range);
}

/// How what is there compares with what is wanted. At just as much the response is 0.63, so "more" begins
/// well above it.
const char* compared(double there, double wanted) {
  if (there < 0.9 * wanted) return "short of";
  return there > 1.3 * wanted ? "more than" : "about";
}

std::string rain_words(const species::Triggers& t, const Past& past, std::size_t i, const Means& m) {
  const std::string lags = t.lag_min_days == t.lag_max_days
                               ? fmt::format("{}", t.lag_min_days)
                               : fmt::format("{}-{}", t.lag_min_days, t.lag_max_days);
  std::string words = fmt::format("rain {} days back {} mm", lags, whole(past.window_rain_mm[i]));
  if (whole(past.water[i]) != whole(past.window_rain_mm[i]))
    words += fmt::format(", of which {} mm count (older rain counts less)", whole(past.water[i]));
  const char* now = compared(past.water[i], t.rain_mm);
  const char* then = compared(m.wet, t.rain_mm);
  if (std::string_view(now) == then)
    return fmt::format("{}, {} the {} mm it wants", words, now, whole(t.rain_mm));
  return fmt::format("{}, {} the {} mm it wants, but {} mm on average while what stands now came up", words,
                     now, whole(t.rain_mm), whole(m.wet));
}

std::string water_words(const species::Triggers& t, const Past& past, std::size_t i, const Means& m) {
  if (t.water_of == species::WaterOf::antecedent_rain) return rain_words(t, past, i, m);
  const char* what = t.water_of == species::WaterOf::soil_water ? "soil water" : "moisture of dead wood";
  const char* now = compared(past.water[i], t.moist_share);
  const char* then = compared(m.wet, t.moist_share);
  if (std::string_view(now) == then)
    return fmt::format("{} {:.2f} of full, {} the {:.2f} it wants", what, past.water[i], now, t.moist_share);
  return fmt::format(
      "{} {:.2f} of full, {} the {:.2f} it wants, but {:.2f} on average while what stands now came up", what,
      past.water[i], now, t.moist_share, m.wet);
}

std::string season_words(const SeasonCurve& season, Date date) {
  const auto peak = season.nearest_peak(date);
  if (!peak) return "season all year";
  const char* which = peak->smaller ? "smaller peak" : "peak";
  const char* out = season.at(base::day_of_year(date)) < 0.05 ? "out of season, " : "season ";
  if (peak->days_ahead == 0) return fmt::format("season at its {}", which);
  return fmt::format("{}{} days {} its {}", out, std::abs(peak->days_ahead),
                     peak->days_ahead > 0 ? "before" : "past", which);
}

std::string frost_words(const Lifetime& life, const Past& past, std::size_t t, double kill_degc) {
  std::size_t coldest = t;
  for (std::size_t j = 0; j < life.share.size() && j <= t; ++j)
    if (past.known[t - j] && past.tmin_degc[t - j] < past.tmin_degc[coldest]) coldest = t - j;
  return fmt::format("frost of {} °C on {}, below the {} °C that soft bodies stand",
                     whole(past.tmin_degc[coldest]), base::to_text(past.date(coldest)), whole(kill_degc));
}

}  // namespace

void describe(const species::Triggers& triggers, const SeasonCurve& season, const Lifetime& life,
              const Past& past, const std::vector<Emergence>& emergences, std::size_t t, IndexDay& day) {
  day.today = emergences[t];
  const Means m = means(life, past, emergences, t);
  struct Factor {
    double value;
    std::string words;
  };
  std::vector<Factor> factors{
      {m.season, season_words(season, day.date)},
      {m.temperature, temperature_words(triggers, past.temperature_degc[t], day.today.temperature, m)},
      {m.water, water_words(triggers, past, t, m)}};
  const auto less = [](const Factor& a, const Factor& b) { return a.value < b.value; };
  const auto best = std::max_element(factors.begin(), factors.end(), less);
  day.driver = best->value < kLifts ? "nothing lifts it" : best->words;
  if (triggers.frost_kill_degc && m.kept < 1)
    factors.push_back({m.kept, frost_words(life, past, t, *triggers.frost_kill_degc)});
  const auto worst = std::min_element(factors.begin(), factors.end(), less);
  day.limit = worst->value >= kHolds ? "nothing holds it down" : worst->words;
}

}  // namespace stumpwise::season
