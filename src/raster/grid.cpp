#include "stumpwise/raster/grid.h"

#include <algorithm>

namespace stumpwise::raster {

std::string quantity_name(Quantity quantity) {
  switch (quantity) {
    case Quantity::elevation_m:
      return "elevation_m";
    case Quantity::slope_deg:
      return "slope_deg";
    case Quantity::aspect_deg:
      return "aspect_deg";
    case Quantity::curvature_per_m:
      return "curvature_per_m";
    case Quantity::position_m:
      return "position_m";
    case Quantity::wetness:
      return "wetness";
    case Quantity::heat_load:
      return "heat_load";
    case Quantity::distance_m:
      return "distance_m";
    case Quantity::fraction:
      return "fraction";
    case Quantity::finds_per_ha:
      return "finds_per_ha";
    case Quantity::flag:
      return "flag";
    case Quantity::class_code:
      return "class_code";
    case Quantity::cells:
      return "cells";
    case Quantity::minutes:
      return "minutes";
    case Quantity::insolation_wh_per_m2:
      return "insolation_wh_per_m2";
    case Quantity::other:
      break;
  }
  return "other";
}

std::optional<double> Grid::value(double x_m, double y_m) const {
  const int col = georef.col_of(x_m), row = georef.row_of(y_m);
  if (!georef.inside(col, row)) return std::nullopt;
  const float found = at(col, row);
  if (std::isnan(found)) return std::nullopt;
  return found;
}

std::optional<double> Grid::bilinear(double x_m, double y_m) const {
  if (!georef.contains(x_m, y_m)) return std::nullopt;
  const double u = (x_m - georef.left_m) / georef.cell_m - 0.5,
               v = (georef.top_m - y_m) / georef.cell_m - 0.5;
  const int col = static_cast<int>(std::floor(u)), row = static_cast<int>(std::floor(v));
  const int col0 = std::clamp(col, 0, georef.cols - 1), col1 = std::clamp(col + 1, 0, georef.cols - 1);
  const int row0 = std::clamp(row, 0, georef.rows - 1), row1 = std::clamp(row + 1, 0, georef.rows - 1);
  const double s = u - col, t = v - row;
  const double top = at(col0, row0) * (1 - s) + at(col1, row0) * s;
  const double bottom = at(col0, row1) * (1 - s) + at(col1, row1) * s;
  const double result = top * (1 - t) + bottom * t;
  if (std::isnan(result)) return std::nullopt;
  return result;
}

void require_same(const Georef& a, const Georef& b) {
  if (!(a == b))
    throw Error(ErrorCode::internal, "two grids that were combined do not lie on the same cells");
}

}  // namespace stumpwise::raster
