#pragma once
#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/error.h"

namespace stumpwise::raster {

/// A north-up grid of square cells on a metric plane. Row 0 is the northernmost.
struct Georef {
  double left_m = 0;  ///< x of the west edge
  double top_m = 0;   ///< y of the north edge
  double cell_m = 0;
  int cols = 0;
  int rows = 0;
  int epsg = 0;  ///< of the plane: a UTM zone on WGS 84 for grounds

  std::size_t size() const { return static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows); }
  std::size_t index(int col, int row) const { return static_cast<std::size_t>(row) * cols + col; }
  double x_of(int col) const { return left_m + (col + 0.5) * cell_m; }
  double y_of(int row) const { return top_m - (row + 0.5) * cell_m; }
  int col_of(double x_m) const { return static_cast<int>(std::floor((x_m - left_m) / cell_m)); }
  int row_of(double y_m) const { return static_cast<int>(std::floor((top_m - y_m) / cell_m)); }
  bool inside(int col, int row) const { return col >= 0 && row >= 0 && col < cols && row < rows; }
  bool contains(double x_m, double y_m) const { return inside(col_of(x_m), row_of(y_m)); }
  bool operator==(const Georef&) const = default;
};

/// What the numbers of a grid are: checked when grids are combined, and written into the file's metadata.
enum class Quantity {
  elevation_m,
  slope_deg,
  aspect_deg,
  curvature_per_m,
  position_m,
  wetness,
  heat_load,
  distance_m,
  fraction,
  finds_per_ha,
  flag,
  class_code,
  cells,
  minutes,
  insolation_wh_per_m2,
  other
};
std::string quantity_name(Quantity quantity);

/// Values on a grid, row by row from the north-west corner; NaN is nodata inside the raster layer.
struct Grid {
  Georef georef;
  Quantity quantity = Quantity::other;
  std::vector<float> values;

  Grid() = default;
  Grid(Georef where, Quantity what, float fill = std::nanf(""))
      : georef(where), quantity(what), values(where.size(), fill) {}
  float& at(int col, int row) { return values[georef.index(col, row)]; }
  float at(int col, int row) const { return values[georef.index(col, row)]; }
  /// Value of the cell that holds the place; nothing outside or on nodata.
  std::optional<double> value(double x_m, double y_m) const;
  /// Bilinear between cell centres; within half a cell of the edge the nearest centres are used; nothing
  /// outside or where one of the four is nodata.
  std::optional<double> bilinear(double x_m, double y_m) const;
};

/// Class codes (land cover), 255 = none.
struct ClassGrid {
  Georef georef;
  std::vector<std::uint8_t> codes;
  static constexpr std::uint8_t kNone = 255;
};

/// Throws Error(internal) unless the two grids lie on the same cells.
void require_same(const Georef& a, const Georef& b);

}  // namespace stumpwise::raster
