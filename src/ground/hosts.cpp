#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <numbers>

#include "stumpwise/base/text.h"
#include "stumpwise/ground/layers.h"

namespace stumpwise::ground {
namespace {

constexpr double kLeastRadius_m = 0.5, kMostRadius_m = 500;
/// Cells of side s lie at most 0.71 s from any point: a disc of this many cells always meets the centre of
/// one.
constexpr double kLeastRadius_cells = 0.75;

/// 1 inside half the radius, 0 beyond one and a half.
double soft_disc(double distance_m, double radius_m) {
  return std::clamp(1.5 - distance_m / radius_m, 0.0, 1.0);
}

void join_disc(raster::Grid& grid, const HostPoint& point) {
  const raster::Georef& g = grid.georef;
  const double radius_m = std::max(point.radius_m, kLeastRadius_cells * g.cell_m), reach_m = 1.5 * radius_m;
  const double right_m = g.left_m + g.cols * g.cell_m, bottom_m = g.top_m - g.rows * g.cell_m;
  if (point.x_m + reach_m < g.left_m || point.x_m - reach_m > right_m || point.y_m - reach_m > g.top_m ||
      point.y_m + reach_m < bottom_m)
    return;
  const double area_m2 = std::numbers::pi * point.radius_m * point.radius_m;
  const double amount = std::min(1.0, area_m2 / (g.cell_m * g.cell_m));
  const int first_col = std::max(0, g.col_of(point.x_m - reach_m));
  const int last_col = std::min(g.cols - 1, g.col_of(point.x_m + reach_m));
  const int first_row = std::max(0, g.row_of(point.y_m + reach_m));
  const int last_row = std::min(g.rows - 1, g.row_of(point.y_m - reach_m));
  for (int row = first_row; row <= last_row; ++row) {
    for (int col = first_col; col <= last_col; ++col) {
      const double distance_m = std::hypot(g.x_of(col) - point.x_m, g.y_of(row) - point.y_m);
      float& there = grid.at(col, row);
      there = static_cast<float>(1 - (1 - there) * (1 - amount * soft_disc(distance_m, radius_m)));
    }
  }
}

std::string genus_name(const std::string& text) {
  std::string genus = base::lower(base::trim(text));
  if (!genus.empty()) genus[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(genus[0])));
  return genus;
}

}  // namespace

void add_host_points(Layers& layers, const std::vector<HostPoint>& points) {
  for (const HostPoint& point : points) {
    const std::string genus = genus_name(point.genus);
    if (genus.empty()) throw Error(ErrorCode::bad_value, "a host record has no genus");
    if (!std::isfinite(point.x_m) || !std::isfinite(point.y_m) || !(point.radius_m >= kLeastRadius_m) ||
        !(point.radius_m <= kMostRadius_m))
      throw Error(ErrorCode::bad_value, fmt::format("a host record of {}: radius {} m, allowed {} to {} m",
                                                    genus, point.radius_m, kLeastRadius_m, kMostRadius_m));
    const auto [grid, fresh] =
        layers.host_records.try_emplace(genus, layers.georef, raster::Quantity::fraction, 0.0f);
    join_disc(grid->second, point);
    if (!point.dead) continue;
    if (layers.dead_wood_records.values.empty())
      layers.dead_wood_records = raster::Grid(layers.georef, raster::Quantity::fraction, 0.0f);
    join_disc(layers.dead_wood_records, point);
  }
}

}  // namespace stumpwise::ground
