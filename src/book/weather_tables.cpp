// Stations and their days, notes by hand, forecasts of the weather.
#include <fmt/format.h>

#include <set>

#include "geometry.h"
#include "impl.h"

namespace stumpwise::book {
namespace {

/// A day of a station is the row station * 1 000 000 + days since 1600-01-01: one tree holds the days in
/// order, without a second index (docs/book-format.md).
constexpr std::int64_t kDaysOfStation = 1'000'000;

std::int64_t day_number(Date date) {
  const std::int64_t number = base::days_between(base::make_date(1600, 1, 1), date);
  if (number < 0 || number >= kDaysOfStation)
    throw Error(ErrorCode::bad_value,
                fmt::format("{}: days of weather lie between 1600 and 4337", base::to_text(date)));
  return number;
}

std::int64_t store_station(const Store& store, const weather::Station& station) {
  if (station.id.empty()) throw Error(ErrorCode::bad_value, "a station needs an id");
  require_place(station.place, "station");
  Query(store,
        "INSERT INTO station (code, name, lat_deg, lon_deg, elevation_m) VALUES (?, ?, ?, ?, ?) ON CONFLICT "
        "(code) DO UPDATE SET "
        "name = excluded.name, lat_deg = excluded.lat_deg, lon_deg = excluded.lon_deg, elevation_m = "
        "excluded.elevation_m")
      .with(station.id)
      .with(station.name)
      .with(station.place.lat_deg, "latitude")
      .with(station.place.lon_deg, "longitude")
      .with(station.elevation_m, "elevation")
      .run();
  Query query(store, "SELECT id FROM station WHERE code = ?");
  query.with(station.id).next();
  return query.integer(0);
}

}  // namespace

Book::Stored Book::put_weather(const weather::Series& series) {
  Stored stored;
  transaction([&] {
    const std::int64_t base_id = store_station(impl_->store, series.station) * kDaysOfStation;
    std::set<std::int64_t> present;
    {
      Query query(impl_->store, "SELECT id FROM weather_day WHERE id BETWEEN ? AND ?");
      query.with(base_id).with(base_id + kDaysOfStation - 1);
      while (query.next()) present.insert(query.integer(0));
    }
    Query insert(
        impl_->store,
        "INSERT OR REPLACE INTO weather_day (id, station, date, tmin_degc, tmax_degc, tmean_degc, precip_mm, "
        "snow_depth_mm, snowfall_mm, "
        "rh_min_pct, rh_max_pct, wind_m_per_s, sun_hours, method) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)");
    for (const weather::Day& day : series.days) {
      const std::int64_t id = base_id + day_number(day.date);
      (present.insert(id).second ? stored.added : stored.replaced)++;
      insert.with(id)
          .with(base_id / kDaysOfStation)
          .with(day.date)
          .with(day.tmin_degc, "tmin")
          .with(day.tmax_degc, "tmax")
          .with(day.tmean_degc, "tmean")
          .with(day.precip_mm, "precipitation")
          .with(day.snow_depth_mm, "snow depth")
          .with(day.snowfall_mm, "snowfall")
          .with(day.rh_min_pct, "humidity")
          .with(day.rh_max_pct, "humidity")
          .with(day.wind_m_per_s, "wind")
          .with(day.sun_hours, "sunshine");
      (day.method.empty() ? insert.with_null() : insert.with(day.method)).run();
    }
  });
  return stored;
}

std::vector<weather::Station> Book::stations() const {
  Query query(impl_->store, "SELECT code, name, lat_deg, lon_deg, elevation_m FROM station ORDER BY id");
  std::vector<weather::Station> stations;
  while (query.next())
    stations.push_back({query.text(0),
                        query.text(1),
                        {.lat_deg = query.number(2), .lon_deg = query.number(3)},
                        query.number(4)});
  return stations;
}

weather::Series Book::weather(const std::string& station_id) const {
  weather::Series series;
  impl_->store.reading([&] {
    Query station(impl_->store, "SELECT id, name, lat_deg, lon_deg, elevation_m FROM station WHERE code = ?");
    if (!station.with(station_id).next())
      throw Error(ErrorCode::not_found, fmt::format("the book holds no station {}", station_id));
    series.station = {station_id,
                      station.text(1),
                      {.lat_deg = station.number(2), .lon_deg = station.number(3)},
                      station.number(4)};
    const std::int64_t base_id = station.integer(0) * kDaysOfStation;
    Query days(impl_->store,
               "SELECT date, tmin_degc, tmax_degc, tmean_degc, precip_mm, snow_depth_mm, snowfall_mm, "
               "rh_min_pct, rh_max_pct, wind_m_per_s, sun_hours, "
               "coalesce(method, '') FROM weather_day WHERE id BETWEEN ? AND ? ORDER BY id");
    days.with(base_id).with(base_id + kDaysOfStation - 1);
    while (days.next()) {
      weather::Day day;
      day.date = days.date(0);
      int column = 1;
      for (auto* value :
           {&day.tmin_degc, &day.tmax_degc, &day.tmean_degc, &day.precip_mm, &day.snow_depth_mm,
            &day.snowfall_mm, &day.rh_min_pct, &day.rh_max_pct, &day.wind_m_per_s, &day.sun_hours})
        *value = days.maybe_number(column++);
      day.method = days.text(column);
      series.days.push_back(std::move(day));
    }
  });
  return series;
}

void Book::put_note(const records::WeatherNote& note) {
  transaction([&] {
    Query(
        impl_->store,
        "INSERT INTO weather_note (date, rain_mm, tmin_degc, tmax_degc, soil_degc) VALUES (?, ?, ?, ?, ?) ON "
        "CONFLICT (date) DO UPDATE SET "
        "rain_mm = coalesce(excluded.rain_mm, rain_mm), tmin_degc = coalesce(excluded.tmin_degc, tmin_degc), "
        "tmax_degc = coalesce(excluded.tmax_degc, tmax_degc), soil_degc = coalesce(excluded.soil_degc, "
        "soil_degc)")
        .with(note.date)
        .with(note.rain_mm, "rain")
        .with(note.tmin_degc, "tmin")
        .with(note.tmax_degc, "tmax")
        .with(note.soil_degc, "soil")
        .run();
  });
}

std::vector<records::WeatherNote> Book::notes() const {
  Query query(impl_->store,
              "SELECT date, rain_mm, tmin_degc, tmax_degc, soil_degc FROM weather_note ORDER BY date");
  std::vector<records::WeatherNote> notes;
  while (query.next())
    notes.push_back({query.date(0), query.maybe_number(1), query.maybe_number(2), query.maybe_number(3),
                     query.maybe_number(4)});
  return notes;
}

void Book::replace_forecast(Date issued, const std::vector<records::ForecastDayRecord>& days) {
  transaction([&] {
    Query(impl_->store, "DELETE FROM forecast_day WHERE issued = ?").with(issued).run();
    Query insert(impl_->store,
                 "INSERT OR REPLACE INTO forecast_day (issued, date, tmin_degc, tmax_degc, precip_mm) VALUES "
                 "(?, ?, ?, ?, ?)");
    for (const records::ForecastDayRecord& day : days)
      insert.with(issued)
          .with(day.date)
          .with(day.tmin_degc, "tmin")
          .with(day.tmax_degc, "tmax")
          .with(day.precip_mm, "precipitation")
          .run();
  });
}

std::vector<records::ForecastDayRecord> Book::forecast() const {
  Query query(impl_->store,
              "SELECT issued, date, tmin_degc, tmax_degc, precip_mm FROM forecast_day WHERE issued = (SELECT "
              "max(issued) FROM forecast_day) ORDER BY date");
  std::vector<records::ForecastDayRecord> days;
  while (query.next())
    days.push_back(
        {query.date(0), query.date(1), query.maybe_number(2), query.maybe_number(3), query.maybe_number(4)});
  return days;
}

}  // namespace stumpwise::book
