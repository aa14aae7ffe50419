#include "weather_context.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "json.h"
#include "stumpwise/base/error.h"

namespace stumpwise::app {
namespace {

using weather::Day;
using weather::DayState;

/// How far back the water balance and the visible lifetime reach, with a year to settle the snow and the
/// soil.
constexpr int kHistoryDays = 420;

void merge_notes(WeatherContext& context, const std::vector<records::WeatherNote>& notes) {
  for (const records::WeatherNote& note : notes) {
    if (note.soil_degc) context.soil_notes.emplace_back(note.date, *note.soil_degc);
    if (!note.rain_mm && !note.tmin_degc && !note.tmax_degc) continue;
    auto& days = context.series.days;
    auto at = std::lower_bound(days.begin(), days.end(), note.date,
                               [](const Day& d, Date date) { return d.date < date; });
    if (at == days.end() || at->date != note.date) {
      Day fresh;
      fresh.date = note.date;
      at = days.insert(at, fresh);
    }
    // The gauge on the spot is nearer than any station: what was typed takes the place of what was
    // downloaded.
    if (note.rain_mm) at->precip_mm = note.rain_mm;
    if (note.tmin_degc) at->tmin_degc = note.tmin_degc;
    if (note.tmax_degc) at->tmax_degc = note.tmax_degc;
    if (note.tmin_degc || note.tmax_degc) at->tmean_degc.reset();
    if (at->tmin_degc && at->tmax_degc && *at->tmin_degc > *at->tmax_degc)
      std::swap(at->tmin_degc, at->tmax_degc);
  }
  std::sort(context.soil_notes.begin(), context.soil_notes.end());
}

weather::Station nearest_station(Session& session, const LatLon& place, double elevation_m) {
  const auto stations = session.book().stations();
  if (stations.empty())
    throw Error(
        ErrorCode::no_data, "the book holds no weather yet",
        "Add a station's file: stumpwise weather add FILE --station NAME --lat .. --lon .. --elev ..");
  // A height difference of 100 m counts as 10 km: both make a station say less of a place.
  auto remoteness = [&](const weather::Station& station) {
    const auto fit = weather::station_fit(station, place, elevation_m);
    return fit.distance_km + std::abs(fit.height_difference_m) / 10.0;
  };
  return *std::min_element(stations.begin(), stations.end(),
                           [&](const auto& a, const auto& b) { return remoteness(a) < remoteness(b); });
}

std::string gap_text(const weather::Gap& gap) {
  return fmt::format("{} missing from {} to {}{}", gap.element, base::to_text(gap.first),
                     base::to_text(gap.last), gap.filled ? ": filled by " + gap.method : ": left open");
}

}  // namespace

nlohmann::json station_json(const WeatherContext& context) {
  return {{"id", context.series.station.id},
          {"name", context.series.station.name},
          {"distance_km", rounded(context.fit.distance_km, 1)},
          {"height_difference_m", rounded(context.fit.height_difference_m, 0)},
          {"far", context.fit.far},
          {"warning", context.fit.warning}};
}

weather::Site site_at(const LatLon& place, double elevation_m) {
  weather::Site site;
  site.place = place;
  site.elevation_m = elevation_m;
  return site;
}

WeatherContext weather_context(Session& session, const LatLon& place, double elevation_m) {
  WeatherContext context;
  const weather::Station station = nearest_station(session, place, elevation_m);
  context.series = session.book().weather(station.id);
  merge_notes(context, session.book().notes());
  context.gaps = weather::fill_gaps(context.series);
  context.fit = weather::station_fit(station, place, elevation_m);
  if (context.fit.far) context.notes.push_back(context.fit.warning);
  for (const weather::Gap& gap : context.gaps)
    if (!gap.filled && base::days_between(gap.last, session.today()) < kHistoryDays &&
        gap.last <= session.today()) {
      context.gap_left = true;
      context.notes.push_back(gap_text(gap));
    }
  for (const records::ForecastDayRecord& day : session.book().forecast()) {
    Day each;
    each.date = day.date;
    each.tmin_degc = day.tmin_degc;
    each.tmax_degc = day.tmax_degc;
    each.precip_mm = day.precip_mm;
    context.forecast.push_back(each);
  }
  return context;
}

Date last_observed(const WeatherContext& context, Date today) {
  for (auto day = context.series.days.rbegin(); day != context.series.days.rend(); ++day)
    if (day->date <= today && day->mean_degc() && day->precip_mm) return day->date;
  throw Error(ErrorCode::no_data, fmt::format("station {} has no complete day up to {}",
                                              context.series.station.name, base::to_text(today)));
}

std::vector<DayState> observed_states(const WeatherContext& context, const weather::Site& site, Date last,
                                      int history_days) {
  const Date first = base::plus_days(last, -std::max(history_days, kHistoryDays));
  weather::Series part{context.series.station, {}};
  for (const Day& day : context.series.days)
    if (day.date >= first && day.date <= last) part.days.push_back(day);
  std::vector<DayState> states;
  // A soil temperature that was measured takes the place of the computed one on its day, and the run goes on
  // from there.
  for (const auto& [date, soil_degc] : context.soil_notes) {
    if (date < first || date > last) continue;
    weather::Series until{part.station, {}};
    std::copy_if(part.days.begin(), part.days.end(), std::back_inserter(until.days),
                 [&, d = date](const Day& day) { return day.date <= d; });
    part.days.erase(part.days.begin(), part.days.begin() + static_cast<std::ptrdiff_t>(until.days.size()));
    auto more = states.empty()
                    ? weather::run_site(until, site)
                    : weather::continue_site(states.back(), until.days, part.station.elevation_m, site);
    states.insert(states.end(), more.begin(), more.end());
    if (!states.empty() && states.back().date == date) states.back().soil_degc = soil_degc;
  }
  if (part.days.empty()) return states;
  auto rest = states.empty()
                  ? weather::run_site(part, site)
                  : weather::continue_site(states.back(), part.days, part.station.elevation_m, site);
  states.insert(states.end(), rest.begin(), rest.end());
  return states;
}

std::vector<std::vector<Day>> past_years(const WeatherContext& context, Date first, int n_days) {
  std::map<Date, const Day*> by_date;
  for (const Day& day : context.series.days) by_date[day.date] = &day;
  std::vector<std::vector<Day>> members;
  if (by_date.empty() || n_days <= 0) return members;
  for (int years = 1; base::plus_days(first, -366 * years) >= by_date.begin()->first; ++years) {
    const Date start = base::plus_days(first, static_cast<int>(-std::lround(365.25 * years)));
    std::vector<Day> member;
    for (int i = 0; i < n_days; ++i) {
      const auto found = by_date.find(base::plus_days(start, i));
      if (found == by_date.end() || !found->second->mean_degc() || !found->second->precip_mm) break;
      Day day = *found->second;
      day.date = base::plus_days(first, i);
      day.method = "same days of " + std::to_string(base::year_of(start));
      member.push_back(day);
    }
    if (static_cast<int>(member.size()) == n_days) members.push_back(std::move(member));
    if (members.size() == 30) break;
  }
  return members;
}

std::vector<season::IndexDay> site_outlook(const WeatherContext& context, const species::Triggers& triggers,
                                           const weather::Site& site, const std::vector<DayState>& observed,
                                           Date first, int n_days) {
  const Date last = base::plus_days(first, n_days - 1);
  if (!observed.empty() && observed.back().date >= last)
    return season::index_days(triggers, site, observed, first, last, context.fit.band_factor);
  const Date next = base::plus_days(observed.empty() ? first : observed.back().date, 1);
  std::vector<Day> forecast;
  for (const Day& day : context.forecast)
    if (day.date >= next) forecast.push_back(day);
  const auto members = past_years(context, next, base::days_between(next, last) + 1);
  return season::outlook(triggers, site, observed, forecast, members, context.series.station.elevation_m,
                         first, n_days, context.fit.band_factor)
      .days;
}

std::optional<Date> first_day_without(const std::vector<season::IndexDay>& days, Date first, int n_days) {
  for (int i = 0; i < n_days; ++i) {
    const auto at = static_cast<std::size_t>(i);
    if (at >= days.size() || days[at].date != base::plus_days(first, i)) return base::plus_days(first, i);
  }
  return std::nullopt;
}

Error no_weather(Date day) {
  return Error(ErrorCode::no_data,
               "no weather reaches " + base::to_text(day) +
                   ": the book holds for it neither days of a station, nor a forecast, nor the same days of "
                   "past years",
               "Ask for other days, add more of the station's days, or type the forecast: stumpwise weather "
               "forecast --days \"6/17/0 8/19/4.5\"");
}

}  // namespace stumpwise::app
