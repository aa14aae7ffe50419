#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <unordered_map>

#include "stumpwise/base/error.h"
#include "stumpwise/picture/relief.h"

namespace stumpwise::picture {
namespace {

using earth::PlanePoint;

/// A line's crossing of the edge between two cell centres: the edge's first cell, and whether it runs east or
/// south.
using Edge = std::uint64_t;

/// Collects the lines of one height: pieces of marching squares joined where they share an edge.
class Tracer {
 public:
  Tracer(const raster::Grid& dem, double height_m) : dem_(dem), g_(dem.georef), height_m_(height_m) {}

  void square(int col, int row) {
    const double a = z(col, row), b = z(col + 1, row), c = z(col + 1, row + 1), d = z(col, row + 1);
    const int kind = (a >= height_m_ ? 1 : 0) | (b >= height_m_ ? 2 : 0) | (c >= height_m_ ? 4 : 0) |
                     (d >= height_m_ ? 8 : 0);
    if (kind == 0 || kind == 15) return;
    const Edge north = east_edge(col, row), south = east_edge(col, row + 1), west = south_edge(col, row),
               east = south_edge(col + 1, row);
    const bool middle_high = (a + b + c + d) / 4 >= height_m_;
    switch (kind) {
      case 1:
      case 14:
        join(west, north);
        break;
      case 2:
      case 13:
        join(north, east);
        break;
      case 4:
      case 11:
        join(east, south);
        break;
      case 8:
      case 7:
        join(south, west);
        break;
      case 3:
      case 12:
        join(west, east);
        break;
      case 6:
      case 9:
        join(north, south);
        break;
      case 5:
        if (middle_high)
          join(north, east), join(south, west);
        else
          join(west, north), join(east, south);
        break;
      default:  // 10
        if (middle_high)
          join(west, north), join(east, south);
        else
          join(north, east), join(south, west);
    }
  }

  std::vector<std::vector<PlanePoint>> lines() {
    std::vector<std::vector<PlanePoint>> result;
    // Open lines first, from an end; what is left then are rings.
    for (const bool ends_only : {true, false}) {
      for (const Edge edge : order_) {
        if (ends_only && links_.at(edge).count != 1) continue;
        if (auto line = follow(edge); line.size() > 1) result.push_back(std::move(line));
      }
    }
    return result;
  }

 private:
  struct Links {
    Edge next[2] = {};
    int count = 0;
    bool done = false;
  };

  double z(int col, int row) const { return dem_.at(col, row); }
  Edge east_edge(int col, int row) const { return static_cast<Edge>(g_.index(col, row)) * 2; }
  Edge south_edge(int col, int row) const { return static_cast<Edge>(g_.index(col, row)) * 2 + 1; }

  void join(Edge a, Edge b) {
    link(a, b);
    link(b, a);
  }
  void link(Edge from, Edge to) {
    const auto [found, fresh] = links_.try_emplace(from);
    if (fresh) order_.push_back(from);
    if (found->second.count < 2) found->second.next[found->second.count++] = to;
  }

  PlanePoint place(Edge edge) const {
    const auto cell = static_cast<std::size_t>(edge / 2);
    const int col = static_cast<int>(cell % static_cast<std::size_t>(g_.cols)),
              row = static_cast<int>(cell / static_cast<std::size_t>(g_.cols));
    const bool down = edge % 2 != 0;
    const double z0 = z(col, row), z1 = down ? z(col, row + 1) : z(col + 1, row);
    const double t = z1 == z0 ? 0.5 : (height_m_ - z0) / (z1 - z0);
    return {g_.x_of(col) + (down ? 0 : t * g_.cell_m), g_.y_of(row) - (down ? t * g_.cell_m : 0)};
  }

  std::vector<PlanePoint> follow(Edge edge) {
    std::vector<PlanePoint> line;
    const Edge first = edge;
    bool closed = false;
    while (true) {
      Links& here = links_.at(edge);
      if (here.done) break;
      here.done = true;
      line.push_back(place(edge));
      const Edge* next = nullptr;
      for (int k = 0; k < here.count; ++k) {
        if (!links_.at(here.next[k]).done)
          next = &here.next[k];
        else if (here.next[k] == first && line.size() > 2)
          closed = true;
      }
      if (!next) break;
      closed = false;
      edge = *next;
    }
    if (closed) line.push_back(line.front());
    return line;
  }

  const raster::Grid& dem_;
  const raster::Georef& g_;
  double height_m_;
  std::unordered_map<Edge, Links> links_;
  std::vector<Edge> order_;
};

}  // namespace

std::vector<Contour> contours(const raster::Grid& dem, double step_m) {
  if (!(step_m > 0))
    throw Error(ErrorCode::bad_value, fmt::format("contour step of {} m: must be above 0", step_m));
  const raster::Georef& g = dem.georef;
  std::unordered_map<long, Tracer> tracers;
  std::vector<long> steps;
  for (int row = 0; row + 1 < g.rows; ++row) {
    for (int col = 0; col + 1 < g.cols; ++col) {
      const float corners[4] = {dem.at(col, row), dem.at(col + 1, row), dem.at(col + 1, row + 1),
                                dem.at(col, row + 1)};
      if (std::any_of(std::begin(corners), std::end(corners), [](float v) { return std::isnan(v); }))
        continue;
      const auto [low, high] = std::minmax_element(std::begin(corners), std::end(corners));
      for (long step = static_cast<long>(std::floor(*low / step_m)) + 1;
           static_cast<double>(step) * step_m <= *high; ++step) {
        const auto [found, fresh] = tracers.try_emplace(step, dem, static_cast<double>(step) * step_m);
        if (fresh) steps.push_back(step);
        found->second.square(col, row);
      }
    }
  }
  std::sort(steps.begin(), steps.end());
  std::vector<Contour> result;
  for (const long step : steps)
    for (auto& line : tracers.at(step).lines())
      result.push_back({static_cast<double>(step) * step_m, step % 5 == 0, std::move(line)});
  return result;
}

double contour_step_m(const raster::Grid& dem) {
  constexpr double kWantedLines = 15;
  float low = INFINITY, high = -INFINITY;
  for (const float value : dem.values) {
    if (std::isnan(value)) continue;
    low = std::min(low, value);
    high = std::max(high, value);
  }
  const double wanted = high > low ? (high - low) / kWantedLines : 1;
  double step = 1;
  for (int power = 0; power < 4; ++power)
    for (const double digit : {1.0, 2.0, 5.0})
      if (digit * std::pow(10, power) <= wanted) step = digit * std::pow(10, power);
  return step;
}

}  // namespace stumpwise::picture
