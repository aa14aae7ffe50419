#include "valley_frame.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stumpwise::demo {
namespace {

/// The valley's middle line in km east and north of the corner, from west to east.
constexpr std::array<std::array<double, 2>, 10> kMiddle{{{-2.2, 2.3},
                                                         {-1, 2.75},
                                                         {0, 3.05},
                                                         {2, 3.55},
                                                         {4.35, 4.2},
                                                         {6.5, 4.6},
                                                         {8.5, 5.6},
                                                         {10.3, 6.5},
                                                         {12, 7.2},
                                                         {14.2, 7.9}}};

MiddleLine middle_line() {
  MiddleLine line;
  constexpr int kSteps = 50;
  for (std::size_t i = 1; i + 2 < kMiddle.size(); ++i)
    for (int k = 0; k < kSteps; ++k) {
      const double t = static_cast<double>(k) / kSteps;
      line.points.push_back(
          {1000 * catmull_rom(kMiddle[i - 1][0], kMiddle[i][0], kMiddle[i + 1][0], kMiddle[i + 2][0], t),
           1000 * catmull_rom(kMiddle[i - 1][1], kMiddle[i][1], kMiddle[i + 1][1], kMiddle[i + 2][1], t)});
    }
  line.points.insert(line.points.begin(), {1000 * kMiddle.front()[0], 1000 * kMiddle.front()[1]});
  line.points.push_back({1000 * kMiddle.back()[0], 1000 * kMiddle.back()[1]});
  double way_m = 0, at_edge_m = 0;
  for (std::size_t i = 0; i < line.points.size(); ++i) {
    if (i > 0)
      way_m += std::hypot(line.points[i].x_m - line.points[i - 1].x_m,
                          line.points[i].y_m - line.points[i - 1].y_m);
    if (line.points[i].x_m <= 0) at_edge_m = way_m;
    line.way_km.push_back(way_m);
  }
  for (double& way : line.way_km) way = (way - at_edge_m) / 1000;
  return line;
}

}  // namespace

double catmull_rom(double a, double b, double c, double d, double t) {
  return 0.5 *
         (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t * t * t);
}

double river_level_m(double way_km) {
  return 205 + 5.5 * way_km + (way_km > 0 ? 0.12 * way_km * way_km : 0);
}

ValleyFrame::ValleyFrame() : line_(middle_line()) {
  for (int row = 0; row < kNodeRows; ++row)
    for (int col = 0; col < kNodeCols; ++col)
      nodes_.push_back(nearest(col * kNode_m - kPad_m, row * kNode_m - kPad_m));
}

ValleyFrame::Place ValleyFrame::at(double east_m, double north_m) const {
  const double x = std::clamp((east_m + kPad_m) / kNode_m, 0.0, kNodeCols - 1.001);
  const double y = std::clamp((north_m + kPad_m) / kNode_m, 0.0, kNodeRows - 1.001);
  const int col = static_cast<int>(x), row = static_cast<int>(y);
  const double u = x - col, v = y - row;
  const Place &a = node(col, row), &b = node(col + 1, row), &c = node(col, row + 1),
              &d = node(col + 1, row + 1);
  const auto mix = [&](double p, double q, double r, double s) {
    return (1 - v) * ((1 - u) * p + u * q) + v * ((1 - u) * r + u * s);
  };
  return {mix(a.distance_m, b.distance_m, c.distance_m, d.distance_m),
          mix(a.way_km, b.way_km, c.way_km, d.way_km)};
}

ValleyFrame::Place ValleyFrame::nearest(double x, double y) const {
  double best = 1e18;
  Place place{};
  for (std::size_t i = 0; i + 1 < line_.points.size(); ++i) {
    const PlanePoint &a = line_.points[i], &b = line_.points[i + 1];
    const double dx = b.x_m - a.x_m, dy = b.y_m - a.y_m;
    const double t = std::clamp(((x - a.x_m) * dx + (y - a.y_m) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
    const double off_x = x - a.x_m - t * dx, off_y = y - a.y_m - t * dy,
                 square = off_x * off_x + off_y * off_y;
    if (square >= best) continue;
    best = square;
    place = {std::sqrt(square) * (dx * off_y - dy * off_x >= 0 ? 1 : -1),
             line_.way_km[i] + t * (line_.way_km[i + 1] - line_.way_km[i])};
  }
  return place;
}

}  // namespace stumpwise::demo
