#include <fmt/format.h>

#include <cmath>
#include <functional>

#include "commands.h"
#include "measure.h"
#include "noise.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/text.h"
#include "stumpwise/raster/file.h"
#include "stumpwise/terrain/curvature.h"
#include "stumpwise/terrain/slope.h"
#include "stumpwise/terrain/terrain.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::bench {
namespace {

using nlohmann::json;
namespace fs = std::filesystem;

constexpr float kNodata = -9999;
constexpr std::uint64_t kSeed = 42;
/// Middle of the invented land (UTM zone 33, 5 000 000 m less 40 km).
constexpr double kNoiseLatitude_deg = 45;

double latitude_of(const std::string& dem) {
  const raster::RasterInfo info = raster::raster_info(dem);
  return (info.south_west.lat_deg + info.north_east.lat_deg) / 2;
}

/// "X,Y" in the DEM's own plane.
earth::PlanePoint parse_place(const std::string& text) {
  const auto parts = base::split(text, ',');
  const auto x = parts.size() == 2 ? base::parse_number(parts[0]) : std::nullopt;
  const auto y = parts.size() == 2 ? base::parse_number(parts[1]) : std::nullopt;
  if (!x || !y)
    throw Error(ErrorCode::bad_usage, fmt::format("--start '{}': two numbers X,Y in the DEM's plane", text));
  return {*x, *y};
}

}  // namespace

json terrain(const TerrainRequest& request) {
  if ((request.make == 0) == request.dem.empty())
    throw Error(ErrorCode::bad_usage, "terrain: one of --dem and --make");
  raster::Grid dem;
  if (request.make != 0) dem = noise_land(request.make, kSeed);
  fs::create_directories(request.out);
  const Meter meter;
  double latitude_deg = kNoiseLatitude_deg;
  if (request.make == 0) {
    dem = raster::read_grid(request.dem);
    latitude_deg = latitude_of(request.dem);
  }
  json products = json::array();
  auto product = [&](const std::string& name, const std::function<raster::Grid()>& make) {
    const double before_s = meter.wall_seconds();
    raster::Grid grid = make();
    raster::write_geotiff(request.out / (name + ".tif"), grid, kNodata);
    products.push_back({{"name", name}, {"seconds", rounded(meter.wall_seconds() - before_s)}});
    return grid;
  };
  {
    raster::Grid aspect;
    const raster::Grid slope = product("slope", [&] {
      terrain::SlopeAspect both = terrain::slope_aspect(dem, request.threads);
      aspect = std::move(both.aspect_deg);
      return std::move(both.slope_deg);
    });
    aspect = product("aspect", [&] { return std::move(aspect); });
    products.back()["computed_with"] = "slope";
    product("heat_load", [&] { return terrain::heat_load(slope, aspect, latitude_deg, request.threads); });
  }
  {
    raster::Grid profile;
    product("plan_curvature", [&] {
      terrain::Curvature both = terrain::curvature(dem, request.threads);
      profile = std::move(both.profile_per_m);
      return std::move(both.plan_per_m);
    });
    product("profile_curvature", [&] { return std::move(profile); });
    products.back()["computed_with"] = "plan_curvature";
  }
  product("position", [&] { return terrain::position_3x3(dem, request.threads); });
  return {{"products", products},
          {"cells", dem.values.size()},
          {"wall_seconds", meter.wall_seconds()},
          {"cpu_seconds", meter.cpu_seconds()},
          {"peak_mb", Meter::peak_mb()}};
}

json flow(const std::string& dem, const fs::path& out) {
  fs::create_directories(out);
  const Meter meter;
  const raster::Grid filled = terrain::fill_depressions(raster::read_grid(dem));
  const raster::Grid cells = terrain::flow_accumulation(filled);
  raster::write_geotiff(out / "accumulation.tif", cells, kNodata);
  return {
      {"cells", cells.values.size()}, {"wall_seconds", meter.wall_seconds()}, {"peak_mb", Meter::peak_mb()}};
}

json travel(const TravelRequest& request) {
  if (request.law != "tobler")
    throw Error(ErrorCode::bad_usage,
                fmt::format("travel --law {}: travel fields know Tobler's law only, so far", request.law));
  const earth::PlanePoint start = parse_place(request.start);
  const Meter meter;
  const raster::Grid dem = raster::read_grid(request.dem);
  const walk::TravelField field({&dem, nullptr}, start, false, walk::kLongestWay_min);
  raster::Grid minutes(dem.georef, raster::Quantity::minutes);
  std::size_t reached = 0;
  for (int row = 0; row < dem.georef.rows; ++row)
    for (int col = 0; col < dem.georef.cols; ++col) {
      const double off_path_min = field.minutes({dem.georef.x_of(col), dem.georef.y_of(row)});
      if (!std::isfinite(off_path_min)) continue;
      minutes.at(col, row) = static_cast<float>(off_path_min * walk::kOffPath);
      ++reached;
    }
  raster::write_geotiff(request.out, minutes, kNodata);
  return {{"cells", reached}, {"wall_seconds", meter.wall_seconds()}, {"peak_mb", Meter::peak_mb()}};
}

}  // namespace stumpwise::bench
