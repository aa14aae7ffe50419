#include "stumpwise/demo/valley.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "climate.h"
#include "geojson.h"
#include "hidden.h"
#include "land.h"
#include "outings.h"
#include "stumpwise/base/files.h"
#include "stumpwise/demo/sites.h"
#include "stumpwise/exchange/gpx.h"
#include "stumpwise/raster/file.h"
#include "walker.h"

namespace stumpwise::demo {
namespace {

namespace fs = std::filesystem;

std::string hosts_json(const Land& land) {
  FeatureCollection hosts("hosts");
  for (const Tree& tree : land.trees) {
    if (!tree.known) continue;
    Attributes attributes{{"genus", tree.genus},
                          {"state", tree.state},
                          {"radius_m", fmt::format("{:.0f}", tree.radius_m)},
                          {"told_by", tree.told_by}};
    if (tree.year_died) attributes.emplace_back("year_died", std::to_string(*tree.year_died));
    hosts.point(tree.at, attributes);
  }
  return hosts.text();
}

std::string streams_json(const Land& land) {
  FeatureCollection streams("streams");
  const raster::Georef& g = land.cover.georef;
  std::vector<PlanePoint>
      river;  // with one point beyond the map at either end, so that it leaves no gap at the edge
  for (std::size_t i = 0; i < land.relief.river.line.size(); ++i) {
    const auto on_map = [&](std::size_t k) {
      return k < land.relief.river.line.size() &&
             g.contains(land.relief.river.line[k].x_m, land.relief.river.line[k].y_m);
    };
    if (on_map(i) || on_map(i + 1) || (i > 0 && on_map(i - 1))) river.push_back(land.relief.river.line[i]);
  }
  streams.line(river, {{"kind", "river"}, {"name", "Ennoway"}});
  for (const Stream& stream : land.streams)
    streams.line(stream.line, {{"kind", "stream"}, {"upslope_ha", fmt::format("{:.0f}", stream.upslope_ha)}});
  return streams.text();
}

std::string trails_json(const std::vector<Trail>& trails) {
  FeatureCollection collection("trails");
  for (const Trail& trail : trails) {
    Attributes attributes{{"name", trail.name}, {"kind", "path"}};
    if (trail.bridge) attributes.emplace_back("bridge", "yes");
    collection.line(trail.line, attributes);
  }
  return collection.text();
}

std::string areas_json(const std::string& name, const std::vector<Area>& areas) {
  FeatureCollection collection(name);
  for (const Area& area : areas) {
    Attributes attributes{{"name", area.name}};
    attributes.insert(attributes.end(), area.attributes.begin(), area.attributes.end());
    collection.polygon(area.ring, attributes);
  }
  return collection.text();
}

void write_layers(Valley& valley, const fs::path& folder, const Land& land,
                  const std::vector<Trail>& trails) {
  valley.dem = folder / "dem.tif";
  valley.cover = folder / "cover.tif";
  valley.legend = base::data_folder() / "legends" / "ennoway.toml";
  valley.hosts = folder / "hosts.geojson";
  valley.streams = folder / "streams.geojson";
  valley.trails = folder / "trails.geojson";
  valley.access = folder / "access.geojson";
  valley.history = folder / "history.geojson";
  raster::Grid dem = land.relief.elevation_m;
  for (float& value : dem.values)
    value = std::round(value * 100) / 100;  // centimetres: honest, and half the file
  raster::write_geotiff(valley.dem, dem, -9999);
  raster::write_cog(valley.cover, land.cover, raster::Provenance{"demo-1", {}});
  base::write_file_atomic(valley.hosts, hosts_json(land));
  base::write_file_atomic(valley.streams, streams_json(land));
  base::write_file_atomic(valley.trails, trails_json(trails));
  base::write_file_atomic(valley.access, areas_json("access", land.access));
  base::write_file_atomic(valley.history, areas_json("history", land.history));
}

}  // namespace

Valley make_valley(const fs::path& folder, std::uint64_t seed, const base::Progress& progress) {
  const auto tell = [&](double share, const std::string& step) {
    if (progress) progress(share, step);
  };
  fs::create_directories(folder / "outings");
  Valley valley;
  const Land land = make_land(seed, [&](double share, const std::string& step) { tell(0.5 * share, step); });
  Walker walker(land);
  const std::vector<Trail> trails = lay_trails(land, walker);
  tell(0.6, "writing the valley's layers");
  write_layers(valley, folder, land, trails);

  tell(0.75, "four years of weather");
  const std::vector<ClimateDay> days = make_climate(seed + 1000);
  valley.weather_csv = folder / "weather.csv";
  valley.station_name = "Ennoway Mill";
  valley.station = kBridgeGreen.place;
  valley.station_elevation_m = kStationElevation_m;
  base::write_file_atomic(valley.weather_csv, climate_csv(days));

  tell(0.8, "two seasons of outings");
  const HiddenTruth truth = make_truth(land, days, seed + 2000);
  for (InventedOuting& made : make_outings(land, walker, truth, seed + 3000)) {
    const fs::path file = folder / "outings" / (base::to_text(made.outing.date) + ".gpx");
    base::write_file_atomic(file, exchange::write_gpx(made.gpx));
    valley.trips.push_back({file, std::move(made.outing)});
  }
  tell(1, "two seasons of outings");
  return valley;
}

}  // namespace stumpwise::demo
