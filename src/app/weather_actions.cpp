#include <fmt/format.h>

#include <algorithm>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/text.h"
#include "stumpwise/weather/read.h"
#include "stumpwise/weather/site.h"
#include "targets.h"

namespace stumpwise::app {
namespace {

Json gaps_json(const std::vector<weather::Gap>& gaps) {
  Json list = Json::array();
  for (const auto& gap : gaps)
    list.push_back({{"first", base::to_text(gap.first)},
                    {"last", base::to_text(gap.last)},
                    {"days", base::days_between(gap.first, gap.last) + 1},
                    {"element", gap.element},
                    {"filled", gap.filled},
                    {"method", gap.method}});
  return list;
}

Json optional_json(const std::optional<double>& value) {
  return value ? Json(*value) : Json();
}

/// Place and height from the options where given, else from the file; both must be known in the end.
void complete_station(weather::Station& station, const WeatherAddRequest& request) {
  if (!request.station_name.empty()) station.name = request.station_name;
  if (station.id.empty()) station.id = station.name;
  if (request.lat_deg) station.place.lat_deg = *request.lat_deg;
  if (request.lon_deg) station.place.lon_deg = *request.lon_deg;
  if (request.elevation_m) station.elevation_m = *request.elevation_m;
  if (station.name.empty())
    throw Error(ErrorCode::bad_usage, "the station has no name", "Give one with --station NAME.");
  const bool placed = (request.lat_deg && request.lon_deg) || !(station.place == LatLon{});
  if (!placed)
    throw Error(ErrorCode::bad_usage, "the file does not say where station \"" + station.name + "\" stands",
                "Give --lat, --lon and --elev (metres).");
  if (!valid(station.place))
    throw Error(ErrorCode::bad_usage,
                fmt::format("station at {}, {}: latitude -90 to 90, longitude -180 to 180",
                            station.place.lat_deg, station.place.lon_deg));
  if (station.elevation_m < -500 || station.elevation_m > 9000)
    throw Error(ErrorCode::bad_usage, fmt::format("station at {} m: -500 to 9000 m", station.elevation_m));
}

}  // namespace

Json weather_add(Session& session, const WeatherAddRequest& request) {
  std::optional<weather::ColumnMap> columns;
  if (!request.columns.empty()) columns = weather::parse_column_map(request.columns);
  auto parsed = weather::read_any(request.file, columns ? &*columns : nullptr);
  base::throw_on_fault(request.file, parsed.issues);
  weather::Series series = std::move(parsed.value);
  complete_station(series.station, request);
  if (series.days.empty()) throw Error(ErrorCode::bad_format, request.file + ": holds no day");
  weather::Series filled = series;
  const auto gaps = weather::fill_gaps(filled);
  book::Book::Stored stored;
  session.book().transaction([&] { stored = session.book().put_weather(series); });
  Json notes = Json::array();
  for (const auto& issue : parsed.issues) notes.push_back(base::to_text(issue));
  for (const auto& ground : session.book().grounds()) {
    const auto fit = weather::station_fit(series.station, centre_of(ground),
                                          typical_elevation_m(session.elevation(ground)));
    if (fit.far) notes.push_back(ground.name + ": " + fit.warning);
  }
  return {{"station",
           {{"id", series.station.id},
            {"name", series.station.name},
            {"lat", series.station.place.lat_deg},
            {"lon", series.station.place.lon_deg},
            {"elevation_m", series.station.elevation_m}}},
          {"days", series.days.size()},
          {"first", base::to_text(series.days.front().date)},
          {"last", base::to_text(series.days.back().date)},
          {"added", stored.added},
          {"replaced", stored.replaced},
          {"gaps", gaps_json(gaps)},
          {"notes", notes}};
}

Json weather_note(Session& session, const records::WeatherNote& note) {
  auto check = [](const std::optional<double>& value, double low, double high, const char* name,
                  const char* unit) {
    if (value && (*value < low || *value > high))
      throw Error(ErrorCode::bad_usage, fmt::format("{} {}: {} to {} {}", name, *value, low, high, unit));
  };
  check(note.rain_mm, 0, weather::kMostRain_mm, "--rain", "mm");
  check(note.tmin_degc, weather::kLowest_degc, weather::kHighest_degc, "--tmin", "°C");
  check(note.tmax_degc, weather::kLowest_degc, weather::kHighest_degc, "--tmax", "°C");
  check(note.soil_degc, -40, 60, "--soil", "°C");
  if (!note.rain_mm && !note.tmin_degc && !note.tmax_degc && !note.soil_degc)
    throw Error(ErrorCode::bad_usage, "nothing to note",
                "Give --rain MM, --tmin, --tmax or --soil, for example: stumpwise weather note --rain 12");
  if (note.tmin_degc && note.tmax_degc && *note.tmin_degc > *note.tmax_degc)
    throw Error(ErrorCode::bad_usage,
                fmt::format("--tmin {} is above --tmax {}", *note.tmin_degc, *note.tmax_degc));
  session.book().transaction([&] { session.book().put_note(note); });
  return {{"date", base::to_text(note.date)},
          {"rain_mm", optional_json(note.rain_mm)},
          {"tmin_degc", optional_json(note.tmin_degc)},
          {"tmax_degc", optional_json(note.tmax_degc)},
          {"soil_degc", optional_json(note.soil_degc)}};
}

Json weather_forecast(Session& session, const ForecastRequest& request) {
  std::vector<weather::Day> days;
  if (!request.days.empty()) {
    days = weather::parse_forecast_days(request.days, base::plus_days(session.today(), 1));
  } else {
    auto parsed = weather::read_any(request.file);
    base::throw_on_fault(request.file, parsed.issues);
    days = std::move(parsed.value.days);
    std::erase_if(days, [&](const weather::Day& day) { return day.date <= session.today(); });
    if (days.empty())
      throw Error(ErrorCode::bad_format, request.file + ": no day after " + base::to_text(session.today()),
                  "A forecast begins tomorrow.");
  }
  const auto grounds = session.book().grounds();
  const double latitude_deg = grounds.empty() ? 45.0 : centre_of(grounds.front()).lat_deg;
  std::vector<records::ForecastDayRecord> stored;
  for (const auto& day : days) {
    auto tmin = day.tmin_degc, tmax = day.tmax_degc;
    if (day.tmean_degc && !(tmin && tmax)) {
      // The book keeps extremes: a mean alone gets the usual range of its latitude and season around it.
      const double half_degc = weather::usual_half_range_degc(latitude_deg, base::day_of_year(day.date));
      tmin = *day.tmean_degc - half_degc;
      tmax = *day.tmean_degc + half_degc;
    }
    stored.push_back({session.today(), day.date, tmin, tmax, day.precip_mm});
  }
  session.book().transaction([&] { session.book().replace_forecast(session.today(), stored); });
  return {{"issued", base::to_text(session.today())},
          {"days", days.size()},
          {"first", base::to_text(days.front().date)},
          {"last", base::to_text(days.back().date)}};
}

}  // namespace stumpwise::app
