#include <algorithm>
#include <cmath>
#include <string>

#include "land.h"
#include "stumpwise/base/error.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::walk {
namespace {

double height_or_throw(const raster::Grid& elevation_m, const earth::PlanePoint& point) {
  const auto height = elevation_m.bilinear(point.x_m, point.y_m);
  if (!height)
    throw Error(ErrorCode::bad_value,
                "a line leads through " + std::to_string(point.x_m) + ", " + std::to_string(point.y_m) +
                    ", where no elevation is known",
                "Keep the line inside the ground's elevation model.");
  return *height;
}

/// Calls piece(length_m, rise_m) for each piece of at most kPiece_m.
template <class Piece>
void for_each_piece(const std::vector<earth::PlanePoint>& line, const raster::Grid& elevation_m,
                    Piece&& piece) {
  const auto dense = densify(line);
  if (dense.size() < 2) return;
  double before_m = height_or_throw(elevation_m, dense.front());
  for (std::size_t i = 1; i < dense.size(); ++i) {
    const double height_m = height_or_throw(elevation_m, dense[i]);
    piece(distance_m(dense[i - 1], dense[i]), height_m - before_m);
    before_m = height_m;
  }
}

}  // namespace

double tobler_m_per_min(double slope) {
  return 100 * std::exp(-3.5 * std::abs(slope + 0.05));
}

std::vector<earth::PlanePoint> densify(const std::vector<earth::PlanePoint>& line, double step_m) {
  if (!(step_m > 0)) throw Error(ErrorCode::bad_value, "step " + std::to_string(step_m) + ": above 0 metres");
  std::vector<earth::PlanePoint> dense;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (i > 0) {
      const int pieces = piece_count(distance_m(line[i - 1], line[i]), step_m);
      for (int k = 1; k < pieces; ++k)
        dense.push_back(between(line[i - 1], line[i], static_cast<double>(k) / pieces));
    }
    dense.push_back(line[i]);
  }
  return dense;
}

double walk_minutes(const std::vector<earth::PlanePoint>& line, const raster::Grid& elevation_m,
                    double speed_factor) {
  double total_min = 0;
  for_each_piece(line, elevation_m, [&](double length_m, double rise_m) {
    if (length_m > 0) total_min += length_m / (tobler_m_per_min(rise_m / length_m) * speed_factor);
  });
  return total_min;
}

double line_length_m(const std::vector<earth::PlanePoint>& line) {
  double total_m = 0;
  for (std::size_t i = 1; i < line.size(); ++i) total_m += distance_m(line[i - 1], line[i]);
  return total_m;
}

double climb_m(const std::vector<earth::PlanePoint>& line, const raster::Grid& elevation_m) {
  double total_m = 0;
  for_each_piece(line, elevation_m, [&](double, double rise_m) { total_m += std::max(0.0, rise_m); });
  return total_m;
}

}  // namespace stumpwise::walk
