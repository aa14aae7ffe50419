#pragma once
// A small book with every kind of record in it, values that are easily lost in the keeping.
#include <limits>

#include "stumpwise/book/book.h"

namespace stumpwise::book {

using base::make_date;

inline records::GroundRecord sample_ground(const std::string& name = "ennoway") {
  return {.name = name,
          .title = "Ennoway Vale",
          .region = "EU+NA-E",
          .zone = "America/Nuuk",
          .cell_m = 10,
          .epsg = 32626,
          .left_m = 246000,
          .top_m = 4660000,
          .cols = 1200,
          .rows = 900,
          .legend = "simple.toml",
          .invented = true};
}

inline records::Find sample_find(const std::string& species = "E01",
                                 std::optional<LatLon> place = LatLon{.lat_deg = 42.01, .lon_deg = -30.02}) {
  records::Find find;
  find.species = species;
  find.name_as_recorded = "Polyporus squamosus";
  find.date = make_date(2026, 5, 12);
  find.place = place;
  find.accuracy_m = 4.5;
  find.pieces = 3;
  find.host_genus = "Ulmus";
  find.host_told_by = "bark";
  find.substrate = "dead standing";
  find.note = "north side, 1.5 m up";
  find.cap_mm = 112.5;
  return find;
}

inline std::vector<records::TrackPoint> sample_track() {
  const Instant start = *base::parse_instant("2026-05-12T08:30:00-01:00");
  std::vector<records::TrackPoint> track;
  for (int i = 0; i < 40; ++i) {
    records::TrackPoint point;
    point.place = {.lat_deg = 42.0 + i * 1.23456789e-4, .lon_deg = -30.0 - i * 0.98765432e-4};
    if (i % 7 != 3) point.time = start + std::chrono::seconds{i * 11};
    if (i % 5 != 2) point.elevation_m = 310 + i * 0.1;
    point.segment = i < 20 ? 0 : i < 39 ? 1 : 2;  // the last segment is one point
    track.push_back(point);
  }
  return track;
}

inline records::Outing sample_outing(const std::string& ground = "ennoway") {
  records::Outing outing;
  outing.ground = ground;
  outing.date = make_date(2026, 5, 12);
  outing.start_clock = "09:30";
  outing.minutes = 185.5;
  outing.search_minutes = 120.25;
  outing.people = 2;
  outing.observer = "the keeper";
  outing.targets = {"E01", "O22", "X04"};
  outing.track = sample_track();
  outing.finds = {sample_find(), sample_find("O22", std::nullopt)};
  outing.finds[1].cap_mm.reset();
  outing.note = "after rain";
  outing.invented = true;
  return outing;
}

inline std::vector<LatLon> ring(double lat_deg, double lon_deg, double size_deg) {
  return {{.lat_deg = lat_deg, .lon_deg = lon_deg},
          {.lat_deg = lat_deg, .lon_deg = lon_deg + size_deg},
          {.lat_deg = lat_deg + size_deg, .lon_deg = lon_deg + size_deg},
          {.lat_deg = lat_deg, .lon_deg = lon_deg}};
}

inline std::vector<records::HostRecord> sample_hosts() {
  return {{.ground = "ennoway",
           .genus = "Ulmus",
           .place = {.lat_deg = 42.001, .lon_deg = -30.001},
           .state = "dead",
           .year_died = 2021,
           .radius_m = 8,
           .told_by = "bark"},
          {.ground = "ennoway",
           .genus = "Quercus",
           .place = {.lat_deg = 42.002, .lon_deg = -30.003},
           .state = "living",
           .year_died = {},
           .radius_m = 12,
           .told_by = "leaf"}};
}
inline std::vector<records::AccessArea> sample_access() {
  return {{"ennoway",
           "Tarnwick Wood",
           "permission",
           make_date(2026, 3, 31),
           make_date(2025, 4, 1),
           "ask first",
           {ring(42, -30, 0.01), ring(42.001, -29.996, 0.002)}},
          {"ennoway", "the rest", "open", {}, {}, "", {}}};
}
inline std::vector<records::HistoryArea> sample_history() {
  return {{"ennoway",
           "Hobb's Orchard",
           "sprayed_orchard",
           1900,
           1955,
           "lead and arsenic possible",
           {ring(42.01, -30.01, 0.004)}},
          {"ennoway", "the burn", "burn", 2025, {}, "", {ring(42.03, -30.03, 0.01)}}};
}

inline weather::Series sample_weather(int n_days = 30) {
  weather::Series series;
  series.station = {"EV-1", "Ennoway lower", {.lat_deg = 42.0, .lon_deg = -30.0}, 240};
  for (int i = 0; i < n_days; ++i) {
    weather::Day day;
    day.date = base::plus_days(make_date(2026, 4, 1), i);
    if (i % 9 != 4) day.tmin_degc = 1.1 + i * 0.1, day.tmax_degc = 11.3 + i * 0.1;
    day.precip_mm = i % 4 == 0 ? 8.4 : 0.0;
    if (i == 2)
      day.snow_depth_mm = 12, day.snowfall_mm = 3, day.rh_min_pct = 40, day.rh_max_pct = 95,
      day.wind_m_per_s = 2.2, day.sun_hours = 9.25, day.tmean_degc = 6;
    if (i == 5) day.method = "straight line between neighbours";
    series.days.push_back(day);
  }
  return series;
}

/// Every field differs from its default somewhere.
inline records::Piece sample_piece() {
  records::Piece piece;
  piece.finder = "the keeper";
  piece.date = make_date(2026, 10, 18);
  piece.place = LatLon{.lat_deg = 42.011, .lon_deg = -30.021};
  piece.region = "EU+NA-E";
  piece.named = "O20";
  piece.name_as_recorded = "Pholiota mutabilis";
  piece.note = "third of the tuft, from the left";
  records::Observation print, scales, spores, stain;
  print.character = "C31";
  print.states = {"clay-brown", "rust-brown"};
  print.by = "the keeper";
  print.at = "2026-10-19T07:30:00-01:00";
  print.withdrawn_at = "2026-10-19";
  scales.character = "C20";
  scales.states = {"scaly"};
  scales.dug = true;
  scales.by = "B. Ash";
  scales.at = "2026-10-18";
  spores.character = "C32.length";
  spores.low = 5.5 + 1e-15;
  spores.high = 7.25;
  spores.micro = true;
  spores.by = "B. Ash";
  spores.at = "2026-10-20T18:00:00Z";
  stain.character = "C10";
  stain.states = {"none"};
  stain.cut = true;
  stain.watched_s = 300;
  stain.by = "the keeper";
  stain.at = "2026-10-18T16:24:00-01:00";
  piece.readings = {print, scales, spores, stain};
  piece.confirmations = {
      {0, "O20", "C. Thorn", "2026-10-21", true, false, "whole piece, base dug"},
      {0, "X04", "D. Reed", "2026-10-21T10:00:00+02:00", false, true, "from a photograph"}};
  piece.waits = {{0, "C31", "2026-10-18T20:00:00-01:00", "2026-10-19T08:00:00-01:00", ""},
                 {0, "C32", "2026-10-19", "2026-10-21", "2026-10-20"}};
  return piece;
}

inline void fill_sample(Book& book) {
  book.set("home", "ennoway");
  book.put_ground(sample_ground());
  book.put_file({"ennoway/dem.tif", std::string(64, 'a'), "import", "ennoway"});
  book.replace_hosts("ennoway", sample_hosts());
  book.replace_access("ennoway", sample_access());
  book.replace_history("ennoway", sample_history());
  book.put_weather(sample_weather());
  book.put_note({make_date(2026, 5, 11), 14.0, {}, {}, 13.0});
  book.replace_forecast(make_date(2026, 5, 12),
                        {{make_date(2026, 5, 12), make_date(2026, 5, 13), 6.0, 17.5, 2.0}});
  book.add_outing(sample_outing());
  auto blank = sample_outing();
  blank.finds.clear();
  blank.track.clear();
  book.add_outing(blank);
  book.add_find(sample_find("E05", LatLon{.lat_deg = 42.02, .lon_deg = -30.01}));
  auto piece = sample_piece();
  piece.find = 1;
  records::Piece bare;
  bare.date = make_date(2026, 10, 17);
  book.add_pieces({piece, bare});
  const Instant made = *base::parse_instant("2026-05-12T06:00:00Z");
  book.put_model({"ennoway", "E01", "1", R"({"a":[1,2]})", made});
  book.add_forecasts({{"ennoway", "E01", made, make_date(2026, 5, 13), 0.5, 0.25, 0.75, "forecast"}});
}

}  // namespace stumpwise::book
