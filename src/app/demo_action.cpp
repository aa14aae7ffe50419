#include <fmt/format.h>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "stumpwise/demo/valley.h"
#include "stumpwise/exchange/gpx.h"

namespace stumpwise::app {

/// The demo goes in by the same doors as real data: files are written as a user would have them and then read
/// back.
Json demo(const DemoRequest& request, const base::Progress& progress) {
  namespace fs = std::filesystem;
  const fs::path folder = request.folder;
  const fs::path book_path = folder / "ennoway.gpkg";
  if (fs::exists(book_path))
    throw Error(ErrorCode::bad_usage, book_path.string() + ": stands there already",
                "Take another folder, or remove the old demo yourself.");
  const fs::path source = folder / "source";
  if (fs::exists(source))
    throw Error(ErrorCode::bad_usage, source.string() + ": stands there already",
                "Take another folder, or remove the old demo yourself.");
  // Put together aside and moved into place at the end, so that Ctrl-C leaves no half book and no half of the
  // sources.
  const bool fresh_folder = !fs::exists(folder);
  const fs::path staging = folder / ("." + base::random_hex(4));
  fs::create_directories(staging);
  Json outings;
  try {
    const demo::Valley valley = demo::make_valley(staging / "source", request.seed, progress);
    Session session(staging / "ennoway.gpkg", true);
    session.progress = progress;
    GroundAddRequest ground;
    ground.name = "ennoway";
    ground.dem = {valley.dem.string()};
    ground.cover = {valley.cover.string()};
    ground.legend = valley.legend.string();
    ground.hosts = {valley.hosts.string()};
    ground.streams = {valley.streams.string()};
    ground.trails = {valley.trails.string()};
    ground.access = {valley.access.string()};
    ground.history = {valley.history.string()};
    ground.region = "EU+NA-E";
    ground.zone = "America/Nuuk";
    ground.invented = true;
    ground_add(session, ground);
    WeatherAddRequest weather;
    weather.file = valley.weather_csv.string();
    weather.station_name = valley.station_name;
    weather.lat_deg = valley.station.lat_deg;
    weather.lon_deg = valley.station.lon_deg;
    weather.elevation_m = valley.station_elevation_m;
    weather_add(session, weather);
    std::size_t blank = 0;
    session.book().transaction([&] {
      for (const auto& trip : valley.trips) {
        base::check_interrupt();
        records::Outing outing = trip.outing;
        outing.ground = ground.name;
        for (records::Find& find : outing.finds)
          find.name_as_recorded = session.library().require(find.species).name();
        outing.track = exchange::track_points(base::value_or_throw(
            exchange::read_gpx(base::read_file(trip.gpx), trip.gpx.string()), "demo track"));
        session.book().add_outing(outing);
        blank += records::is_blank(outing);
      }
    });
    outings = {{"count", valley.trips.size()}, {"blank", blank}};
  } catch (...) {
    std::error_code ignored;
    fs::remove_all(staging, ignored);
    if (fresh_folder) fs::remove(folder, ignored);
    throw;
  }
  fs::rename(staging / "source", source);
  fs::rename(staging / "ennoway.files", folder / "ennoway.files");
  fs::rename(staging / "ennoway.gpkg", book_path);
  std::error_code ignored;
  fs::remove_all(staging, ignored);
  Cautions cautions(caution::Place::about);
  cautions.add("invented-data");
  const std::string book = "--book " + book_path.string();
  return with_cautions({{"book", book_path.string()},
                        {"folder", folder.string()},
                        {"ground", "ennoway"},
                        {"invented", true},
                        {"seed", request.seed},
                        {"outings", outings},
                        {"next",
                         {"stumpwise today " + book, "stumpwise outlook " + book, "stumpwise learn " + book,
                          "stumpwise serve " + book}}},
                       cautions.list());
}

}  // namespace stumpwise::app
