#pragma once
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/random.h"
#include "stumpwise/walk/route.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::walk::scene {

inline raster::Georef georef(int cols, int rows, double cell_m = 10) {
  return {500000, 4'700'000 + rows * cell_m, cell_m, cols, rows, 32626};
}

/// A piece of land with its walls, and places named by letters.
struct Land {
  raster::Grid elevation_m, wall;
  std::map<char, earth::PlanePoint> at;
  TravelGround ground() const { return {&elevation_m, &wall}; }
};

inline Land flat(int cols, int rows, double cell_m = 10) {
  const auto g = georef(cols, rows, cell_m);
  return {
      raster::Grid(g, raster::Quantity::elevation_m, 300), raster::Grid(g, raster::Quantity::flag, 0), {}};
}

/// Drawn land: '.' open, '#' wall, '?' no elevation, digits height in tens of metres, letters open places by
/// name.
inline Land drawn(const std::vector<std::string>& rows, double cell_m = 10) {
  Land land = flat(static_cast<int>(rows.front().size()), static_cast<int>(rows.size()), cell_m);
  for (int row = 0; row < static_cast<int>(rows.size()); ++row)
    for (int col = 0; col < static_cast<int>(rows[row].size()); ++col) {
      const char sign = rows[row][col];
      if (sign == '#') land.wall.at(col, row) = 1;
      if (sign == '?') land.elevation_m.at(col, row) = std::nanf("");
      if (sign >= '0' && sign <= '9') land.elevation_m.at(col, row) = 10.0f * (sign - '0');
      const auto& g = land.wall.georef;
      if (std::isalpha(static_cast<unsigned char>(sign))) land.at[sign] = {g.x_of(col), g.y_of(row)};
    }
  return land;
}

/// Hills, hollows, some roughness, walls and holes from a seed.
inline Land wild(std::uint64_t seed, int cols, int rows, double cell_m, double wall_share,
                 double hole_share) {
  base::Random random(seed);
  Land land = flat(cols, rows, cell_m);
  struct Hill {
    double col, row, radius, height_m;
  };
  std::vector<Hill> hills;
  for (int i = 0; i < 6; ++i)
    hills.push_back({random.uniform(0, cols), random.uniform(0, rows), random.uniform(3, 15),
                     random.uniform(-8, 12) * cell_m / 2});
  for (int row = 0; row < rows; ++row)
    for (int col = 0; col < cols; ++col) {
      double z = 300 + random.normal(0, 0.2);
      for (const Hill& hill : hills)
        z += hill.height_m *
             std::exp(-((col - hill.col) * (col - hill.col) + (row - hill.row) * (row - hill.row)) /
                      (hill.radius * hill.radius));
      land.elevation_m.at(col, row) = static_cast<float>(z);
      if (random.chance(wall_share)) land.wall.at(col, row) = 1;
      if (random.chance(hole_share)) land.elevation_m.at(col, row) = std::nanf("");
    }
  return land;
}

/// A second reckoner of minutes, which shares no code with the planner: the published line with its
/// coordinates rounded as a GPX file rounds them, cut at every 12 m, elevations interpolated by hand.
inline double checked_minutes(const std::vector<earth::PlanePoint>& line, const raster::Grid& dem) {
  const auto height = [&](double x, double y) {
    const auto& g = dem.georef;
    const double u = std::min(std::max((x - g.left_m) / g.cell_m - 0.5, 0.0), g.cols - 1.0);
    const double v = std::min(std::max((g.top_m - y) / g.cell_m - 0.5, 0.0), g.rows - 1.0);
    const int c = std::min(static_cast<int>(u), g.cols - 2), r = std::min(static_cast<int>(v), g.rows - 2);
    const double p = u - c, q = v - r;
    return dem.at(c, r) * (1 - p) * (1 - q) + dem.at(c + 1, r) * p * (1 - q) +
           dem.at(c, r + 1) * (1 - p) * q + dem.at(c + 1, r + 1) * p * q;
  };
  const auto rounded = [](double metres) { return std::round(metres * 100) / 100; };
  double minutes = 0;
  const auto points = densify(line);
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double x0 = rounded(points[i - 1].x_m), y0 = rounded(points[i - 1].y_m);
    const double x1 = rounded(points[i].x_m), y1 = rounded(points[i].y_m);
    const double length = std::sqrt((x1 - x0) * (x1 - x0) + (y1 - y0) * (y1 - y0));
    if (length < 0.005) continue;
    const double slope = (height(x1, y1) - height(x0, y0)) / length;
    const double km_per_h = 6 * std::exp(-3.5 * std::fabs(slope + 0.05)) * 0.6;
    minutes += length / 1000 / km_per_h * 60;
  }
  return minutes;
}

/// True where the line, looked at every 25 cm, stays off walls and on known elevations.
inline bool keeps_to_open_land(const std::vector<earth::PlanePoint>& line, const Land& land) {
  for (const auto& point : densify(line, 0.25)) {
    if (land.wall.value(point.x_m, point.y_m).value_or(1) > 0) return false;
    if (!land.elevation_m.bilinear(point.x_m, point.y_m)) return false;
  }
  return true;
}

inline double straight_m(const earth::PlanePoint& a, const earth::PlanePoint& b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}
/// Minutes a metre on flat land, off the path.
inline double flat_min_per_m() {
  return 60 / (6000 * std::exp(-3.5 * 0.05) * 0.6);
}

inline Patch patch(int id, const earth::PlanePoint& centre, double finds, double area_m2 = 8100) {
  Patch p;
  p.id = id;
  p.centre = centre;
  p.area_m2 = area_m2;
  p.expected = finds;
  p.low90 = 0.4 * finds;
  p.high90 = 2.5 * finds;
  return p;
}

}  // namespace stumpwise::walk::scene
