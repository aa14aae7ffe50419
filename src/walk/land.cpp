#include "land.h"

#include <limits>
#include <string>

#include "stumpwise/base/error.h"

namespace stumpwise::walk {
namespace {

constexpr double kCorner_m = 0.02;

void close_around_nodata(const raster::Grid& elevation_m, std::vector<std::uint8_t>& closed) {
  const raster::Georef& g = elevation_m.georef;
  for (int row = 0; row < g.rows; ++row)
    for (int col = 0; col < g.cols; ++col) {
      if (!std::isnan(elevation_m.at(col, row))) continue;
      for (int r = std::max(0, row - 1); r <= std::min(g.rows - 1, row + 1); ++r)
        for (int c = std::max(0, col - 1); c <= std::min(g.cols - 1, col + 1); ++c) closed[g.index(c, r)] = 1;
    }
}

}  // namespace

Land::Land(const TravelGround& ground) : elevation_(ground.elevation_m) {
  if (!elevation_) throw Error(ErrorCode::no_data, "no elevation for the ways of a walk");
  closed_.assign(georef().size(), 0);
  if (ground.wall) {
    raster::require_same(georef(), ground.wall->georef);
    for (std::size_t i = 0; i < closed_.size(); ++i) closed_[i] = ground.wall->values[i] <= 0 ? 0 : 1;
  }
  close_around_nodata(*elevation_, closed_);
}

void Land::require_open(const earth::PlanePoint& place, const char* what) const {
  const raster::Georef& g = georef();
  const std::string where =
      std::string("the ") + what + " " + std::to_string(place.x_m) + ", " + std::to_string(place.y_m);
  if (!g.contains(place.x_m, place.y_m))
    throw Error(ErrorCode::bad_value, where + " lies outside the ground",
                "The ground reaches from " + std::to_string(g.left_m) + " to " +
                    std::to_string(g.left_m + g.cols * g.cell_m) + " m east and from " +
                    std::to_string(g.top_m - g.rows * g.cell_m) + " to " + std::to_string(g.top_m) +
                    " m north.");
  if (!open(place))
    throw Error(ErrorCode::bad_value,
                where + " lies in water, on a cliff, on closed land or where no elevation is known",
                "Move it to where you can stand: a road, a path, a meadow.");
}

bool Land::clear(const earth::PlanePoint& a, const earth::PlanePoint& b) const {
  const raster::Georef& g = georef();
  const double u0 = (a.x_m - g.left_m) / g.cell_m, v0 = (g.top_m - a.y_m) / g.cell_m;
  const double du = (b.x_m - g.left_m) / g.cell_m - u0, dv = (g.top_m - b.y_m) / g.cell_m - v0;
  int col = g.col_of(a.x_m), row = g.row_of(a.y_m);
  if (!open(col, row) || !open(b)) return false;
  // Cell by cell along the line (Amanatides & Woo 1987), in shares of its length.
  constexpr double kNever = std::numeric_limits<double>::infinity();
  const int step_col = du > 0 ? 1 : -1, step_row = dv > 0 ? 1 : -1;
  const double per_col = du != 0 ? 1 / std::abs(du) : kNever, per_row = dv != 0 ? 1 / std::abs(dv) : kNever;
  double next_col = du != 0 ? (du > 0 ? col + 1 - u0 : u0 - col) * per_col : kNever;
  double next_row = dv != 0 ? (dv > 0 ? row + 1 - v0 : v0 - row) * per_row : kNever;
  const double corner = kCorner_m / std::max(kCorner_m, distance_m(a, b));
  while (std::min(next_col, next_row) < 1 - 1e-9) {  // the cell of `b` itself was asked above
    if (std::abs(next_col - next_row) < corner) {
      if (!open(col + step_col, row) || !open(col, row + step_row)) return false;
      col += step_col;
      row += step_row;
      next_col += per_col;
      next_row += per_row;
    } else if (next_col < next_row) {
      col += step_col;
      next_col += per_col;
    } else {
      row += step_row;
      next_row += per_row;
    }
    if (!open(col, row)) return false;
  }
  return true;
}

double Land::height_m(double x_m, double y_m) const {
  // As Grid::bilinear, without its questions: beside an open cell there is no nodata.
  const raster::Georef& g = georef();
  const double u = (x_m - g.left_m) / g.cell_m - 0.5, v = (g.top_m - y_m) / g.cell_m - 0.5;
  const int col = static_cast<int>(std::floor(u)), row = static_cast<int>(std::floor(v));
  const int col0 = std::clamp(col, 0, g.cols - 1), col1 = std::clamp(col + 1, 0, g.cols - 1);
  const std::size_t line0 = g.index(0, std::clamp(row, 0, g.rows - 1));
  const std::size_t line1 = g.index(0, std::clamp(row + 1, 0, g.rows - 1));
  const double s = u - col, t = v - row;
  const float* z = elevation_->values.data();
  return (1 - t) * ((1 - s) * z[line0 + col0] + s * z[line0 + col1]) +
         t * ((1 - s) * z[line1 + col0] + s * z[line1 + col1]);
}

Land::Minutes Land::minutes(const earth::PlanePoint& a, const earth::PlanePoint& b) const {
  const double length_m = distance_m(a, b);
  if (length_m == 0) return {};
  const int pieces = piece_count(length_m, kPiece_m);
  const double piece_m = length_m / pieces;
  Minutes total;
  double before_m = height_m(a.x_m, a.y_m);
  for (int k = 1; k <= pieces; ++k) {
    const earth::PlanePoint at = k == pieces ? b : between(a, b, static_cast<double>(k) / pieces);
    const double here_m = height_m(at.x_m, at.y_m);
    const double slope = (here_m - before_m) / piece_m;
    // One over Tobler's speed.
    total.there += std::exp(3.5 * std::abs(slope + 0.05));
    total.back += std::exp(3.5 * std::abs(-slope + 0.05));
    before_m = here_m;
  }
  const double flat = piece_m / (100 * kOffPath);
  return {total.there * flat, total.back * flat};
}

}  // namespace stumpwise::walk
