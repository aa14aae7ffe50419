#include "ground_files.h"

#include <algorithm>
#include <functional>
#include <map>

#include "stumpwise/base/files.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/file.h"
#include "stumpwise/raster/vector.h"
#include "stumpwise/terrain/slope.h"
#include "stumpwise/terrain/terrain.h"

namespace stumpwise::app {
namespace {

using raster::Grid;
using raster::Quantity;

/// Radii of the two positions, metres: a knoll or hollow, and a hill or valley.
constexpr double kFineRadius_m = 100;
constexpr double kBroadRadius_m = 1000;

/// Reads a derived raster where it is fresh, else makes all that `make` gives and writes them.
class Derived {
 public:
  Derived(const GroundFiles& files, raster::Provenance provenance, const base::Progress& progress)
      : files_(files), provenance_(std::move(provenance)), progress_(progress) {}

  std::vector<Grid> get(const std::vector<std::string>& names,
                        const std::function<std::vector<Grid>()>& make) {
    std::vector<Grid> grids;
    const bool fresh = std::all_of(names.begin(), names.end(), [&](const std::string& name) {
      return raster::read_provenance(files_.derived(name)) == provenance_;
    });
    if (fresh) {
      for (const std::string& name : names) grids.push_back(raster::read_grid(files_.derived(name)));
      return grids;
    }
    base::check_interrupt();
    if (progress_) progress_(0, "deriving " + names.front());
    grids = make();
    for (std::size_t i = 0; i < names.size(); ++i)
      raster::write_cog(files_.derived(names[i]), {{names[i], &grids[i]}}, provenance_);
    return grids;
  }

 private:
  const GroundFiles& files_;
  raster::Provenance provenance_;
  const base::Progress& progress_;
};

raster::Provenance provenance_of(const std::map<std::string, std::filesystem::path>& inputs) {
  raster::Provenance provenance{kDerivedVersion, {}};
  for (const auto& [name, path] : inputs)
    provenance.inputs[name] = std::filesystem::exists(path) ? base::sha256_file(path) : "none";
  return provenance;
}

/// 1 in cells of the class grid whose code `wanted` accepts.
template <class Wanted>
Grid mark(const raster::ClassGrid& classes, Wanted wanted) {
  Grid marked(classes.georef, Quantity::flag, 0);
  for (std::size_t i = 0; i < classes.codes.size(); ++i)
    if (classes.codes[i] != raster::ClassGrid::kNone && wanted(classes.codes[i])) marked.values[i] = 1;
  return marked;
}

std::optional<raster::ClassGrid> read_if_there(const std::filesystem::path& path) {
  if (!std::filesystem::exists(path)) return std::nullopt;
  return raster::read_classes(path);
}

bool water_class(const ground::Legend& legend, std::uint8_t code) {
  return std::any_of(legend.classes.begin(), legend.classes.end(),
                     [&](const ground::CoverClass& c) { return c.code == code && c.water; });
}

Grid water_distance(const ground::Layers& layers, const std::optional<raster::ClassGrid>& water) {
  Grid wet = mark(layers.cover, [&](std::uint8_t code) { return water_class(layers.legend, code); });
  if (water)
    for (std::size_t i = 0; i < wet.values.size(); ++i)
      if (water->codes[i] == 1 || water->codes[i] == 2) wet.values[i] = 1;
  return raster::distance_to(wet);
}

Grid barriers(const ground::Layers& layers, const std::optional<raster::ClassGrid>& water,
              const std::optional<raster::ClassGrid>& trails) {
  Grid wall = mark(layers.cover, [&](std::uint8_t code) { return water_class(layers.legend, code); });
  for (std::size_t i = 0; i < wall.values.size(); ++i) {
    const bool bridge = trails && trails->codes[i] == 2;
    const float slope = layers.slope_deg.values[i];
    if (water && water->codes[i] == 2) wall.values[i] = 1;
    if (slope > kCliff_deg) wall.values[i] = 1;
    if (bridge) wall.values[i] = 0;
    if (std::isnan(layers.elevation_m.values[i])) wall.values[i] = 1;
  }
  return wall;
}

ground::HostPoint to_point(const records::HostRecord& host, const earth::Utm& utm) {
  const earth::PlanePoint point = utm.forward(host.place);
  ground::HostPoint result;
  result.genus = host.genus;
  result.x_m = point.x_m;
  result.y_m = point.y_m;
  result.radius_m = host.radius_m;
  result.dead = host.state == "dead" || host.state == "log" || host.state == "stump";
  return result;
}

}  // namespace

GroundData read_ground(const GroundFiles& files, const records::GroundRecord& ground,
                       const std::vector<records::HostRecord>& hosts, const base::Progress& progress) {
  GroundData data;
  ground::Layers& layers = data.layers;
  const int threads = base::default_threads();
  const earth::Utm utm = earth::Utm::from_epsg(ground.epsg);
  layers.elevation_m = raster::read_grid(files.dem());
  layers.georef = layers.elevation_m.georef;
  layers.latitude_deg = utm.inverse({layers.georef.left_m + layers.georef.cols * layers.georef.cell_m / 2,
                                     layers.georef.top_m - layers.georef.rows * layers.georef.cell_m / 2})
                            .lat_deg;
  if (std::filesystem::exists(files.cover())) {
    layers.cover = raster::read_classes(files.cover());
    layers.legend =
        base::value_or_throw(ground::read_legend(files.legend().string()), "legend of the ground");
  } else {
    layers.cover = {layers.georef, std::vector<std::uint8_t>(layers.georef.size(), raster::ClassGrid::kNone)};
  }

  Derived terrain_files(files, provenance_of({{"dem", files.dem()}}), progress);
  auto slopes = terrain_files.get({"slope", "aspect"}, [&] {
    terrain::SlopeAspect result = terrain::slope_aspect(layers.elevation_m, threads);
    return std::vector<Grid>{std::move(result.slope_deg), std::move(result.aspect_deg)};
  });
  layers.slope_deg = std::move(slopes[0]);
  layers.aspect_deg = std::move(slopes[1]);
  layers.heat_load = std::move(terrain_files.get({"heat_load"}, [&] {
    return std::vector<Grid>{
        terrain::heat_load(layers.slope_deg, layers.aspect_deg, layers.latitude_deg, threads)};
  })[0]);
  layers.wetness = std::move(terrain_files.get({"wetness"}, [&] {
    return std::vector<Grid>{terrain::wetness_index(layers.elevation_m, layers.slope_deg)};
  })[0]);
  layers.position_fine_m = std::move(terrain_files.get({"position_fine"}, [&] {
    return std::vector<Grid>{terrain::position(layers.elevation_m, kFineRadius_m, threads)};
  })[0]);
  layers.position_broad_m = std::move(terrain_files.get({"position_broad"}, [&] {
    return std::vector<Grid>{terrain::position(layers.elevation_m, kBroadRadius_m, threads)};
  })[0]);

  const auto water = read_if_there(files.water());
  const auto trails = read_if_there(files.trails());
  Derived land_files(files,
                     provenance_of({{"dem", files.dem()},
                                    {"cover", files.cover()},
                                    {"legend", files.legend()},
                                    {"water", files.water()},
                                    {"trails", files.trails()}}),
                     progress);
  layers.water_distance_m = std::move(land_files.get(
      {"water_distance"}, [&] { return std::vector<Grid>{water_distance(layers, water)}; })[0]);
  data.barrier = std::move(
      land_files.get({"barrier"}, [&] { return std::vector<Grid>{barriers(layers, water, trails)}; })[0]);

  std::vector<ground::HostPoint> points;
  for (const records::HostRecord& host : hosts) points.push_back(to_point(host, utm));
  ground::add_host_points(layers, points);
  return data;
}

}  // namespace stumpwise::app
