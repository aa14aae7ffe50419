#pragma once
// A small invented ground in the open sea (Ennoway Vale's place) with typed weather, for tests of the
// actions.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <string>

#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::app {

struct Scene {
  base::TemporaryFolder folder;
  LatLon centre{.lat_deg = 42.0, .lon_deg = -29.98};

  std::string path(const std::string& name) const { return (folder.path() / name).string(); }

  /// A hillside of `n` x `n` cells of 10 m that rises to the east around `height_m`.
  std::string write_dem(double height_m, int n = 120) const {
    const auto middle = earth::Utm::for_place(centre).forward(centre);
    const double left = std::floor(middle.x_m / 10 - n / 2) * 10,
                 top = std::floor(middle.y_m / 10 + n / 2) * 10;
    raster::Grid dem({left, top, 10, n, n, 32626}, raster::Quantity::elevation_m, 0);
    for (int row = 0; row < n; ++row)
      for (int col = 0; col < n; ++col)
        dem.at(col, row) = static_cast<float>(height_m + (col - n / 2) * 0.5 +
                                              4 * std::sin(row / 9.0) * std::cos(col / 7.0));
    raster::write_geotiff(folder.path() / "dem.tif", dem);
    return path("dem.tif");
  }

  GroundAddRequest ground_request(double height_m) const {
    GroundAddRequest request;
    request.name = "tarnwick";
    request.dem = {write_dem(height_m)};
    request.region = "EU+NA-E";
    request.zone = "America/Nuuk";
    return request;
  }

  Session session(Date today) const { return Session(folder.path() / "book.gpkg", true, today); }

  void add_weather(Session& session, const std::string& csv) const {
    base::write_file_atomic(folder.path() / "weather.csv", csv);
    WeatherAddRequest request;
    request.file = path("weather.csv");
    request.station_name = "Ennoway";
    request.lat_deg = 42.0;
    request.lon_deg = -30.0;
    request.elevation_m = 300;
    weather_add(session, request);
  }
};

}  // namespace stumpwise::app
