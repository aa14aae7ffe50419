#include "stumpwise/walk/travel.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

#include "stumpwise/base/error.h"
#include "stumpwise/base/interrupt.h"

namespace stumpwise::walk {
namespace {

using earth::PlanePoint;
using raster::Georef;
using raster::Grid;

constexpr double kStep_m = 15;
constexpr double kUnreached = std::numeric_limits<double>::infinity();

/// The 16 neighbours: sides, corners and knight's moves; on flat ground their polygon errs by at most 2.75 per cent.
constexpr int kCol[16] = {1, 1, 0, -1, -1, -1, 0, 1, 2, 1, -1, -2, -2, -1, 1, 2};
constexpr int kRow[16] = {0, 1, 1, 1, 0, -1, -1, -1, 1, 2, 2, 1, -1, -2, -2, -1};

double length_of(const PlanePoint& a, const PlanePoint& b) { return std::hypot(b.x_m - a.x_m, b.y_m - a.y_m); }
PlanePoint between(const PlanePoint& a, const PlanePoint& b, double share) { return {a.x_m + (b.x_m - a.x_m) * share, a.y_m + (b.y_m - a.y_m) * share}; }

double height_at(const Grid& elevation_m, const PlanePoint& point) {
  if (const auto z = elevation_m.bilinear(point.x_m, point.y_m)) return *z;
  throw Error(ErrorCode::bad_value, fmt::format("the line leaves the elevation model at {:.0f}, {:.0f}", point.x_m, point.y_m));
}

double piece_minutes(double length_m, double rise_m, double speed_factor) { return length_m > 0 ? length_m / (tobler_m_per_min(rise_m / length_m) * speed_factor) : 0; }

}  // namespace

double tobler_m_per_min(double slope) { return 6.0 * std::exp(-3.5 * std::abs(slope + 0.05)) * 1000.0 / 60.0; }

std::vector<PlanePoint> densify(const std::vector<PlanePoint>& line, double step_m) {
  std::vector<PlanePoint> dense;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (i > 0) {
      const int pieces = std::max(1, static_cast<int>(std::ceil(length_of(line[i - 1], line[i]) / step_m - 1e-9)));
      for (int k = 1; k < pieces; ++k) dense.push_back(between(line[i - 1], line[i], static_cast<double>(k) / pieces));
    }
    dense.push_back(line[i]);
  }
  return dense;
}

double walk_minutes(const std::vector<PlanePoint>& line, const Grid& elevation_m, double speed_factor) {
  const auto dense = densify(line, kStep_m);
  double minutes = 0;
  for (std::size_t i = 1; i < dense.size(); ++i)
    minutes += piece_minutes(length_of(dense[i - 1], dense[i]), height_at(elevation_m, dense[i]) - height_at(elevation_m, dense[i - 1]), speed_factor);
  return minutes;
}

double line_length_m(const std::vector<PlanePoint>& line) {
  double length_m = 0;
  for (std::size_t i = 1; i < line.size(); ++i) length_m += length_of(line[i - 1], line[i]);
  return length_m;
}

double climb_m(const std::vector<PlanePoint>& line, const Grid& elevation_m) {
  const auto dense = densify(line, kStep_m);
  double climb = 0;
  for (std::size_t i = 1; i < dense.size(); ++i) climb += std::max(0.0, height_at(elevation_m, dense[i]) - height_at(elevation_m, dense[i - 1]));
  return climb;
}

struct TravelField::Impl {
  TravelGround ground;
  PlanePoint place;
  bool towards = false;
  std::vector<float> minutes;
  std::vector<std::int8_t> step;  ///< move that leads one cell nearer to the place; -1 at the place

  const Georef& georef() const { return ground.elevation_m->georef; }
  bool open(int col, int row) const {
    const Georef& g = georef();
    return g.inside(col, row) && !(ground.wall->at(col, row) > 0) && !std::isnan(ground.elevation_m->at(col, row));
  }
  /// A knight's move passes between two cells: both must be open. A corner move must not squeeze between two walls.
  bool passable(int col, int row, int k) const {
    const int c = col + kCol[k], r = row + kRow[k];
    if (!open(c, r)) return false;
    if (k < 8) return k % 2 == 0 || (open(col + kCol[k], row) && open(col, row + kRow[k]));
    const int half_c = kCol[k] / 2, half_r = kRow[k] / 2;
    return open(col + half_c, row + half_r) && open(c - half_c, r - half_r);
  }
  void spread(double most_min);
  /// True where the straight line crosses no wall.
  bool clear(const PlanePoint& a, const PlanePoint& b) const {
    const Georef& g = georef();
    const int n = std::max(1, static_cast<int>(std::ceil(length_of(a, b) / (g.cell_m / 4))));
    for (int i = 0; i <= n; ++i) {
      const PlanePoint p = between(a, b, static_cast<double>(i) / n);
      if (!open(g.col_of(p.x_m), g.row_of(p.y_m))) return false;
    }
    return true;
  }
  std::vector<PlanePoint> pull_straight(const std::vector<PlanePoint>& path) const;
};

void TravelField::Impl::spread(double most_min) {
  const Georef& g = georef();
  const Grid& z = *ground.elevation_m;
  minutes.assign(g.size(), static_cast<float>(kUnreached));
  step.assign(g.size(), -1);
  struct Entry { float minutes; std::uint32_t cell; bool operator<(const Entry& o) const { return minutes != o.minutes ? minutes > o.minutes : cell > o.cell; } };
  std::priority_queue<Entry> queue;
  const auto start = static_cast<std::uint32_t>(g.index(g.col_of(place.x_m), g.row_of(place.y_m)));
  minutes[start] = 0;
  queue.push({0, start});
  std::size_t settled = 0;
  while (!queue.empty()) {
    const Entry now = queue.top();
    queue.pop();
    if (now.minutes > minutes[now.cell]) continue;
    if (now.minutes > most_min) break;
    if ((++settled & 0xffff) == 0) base::check_interrupt();
    const int col = static_cast<int>(now.cell % g.cols), row = static_cast<int>(now.cell / g.cols);
    for (int k = 0; k < 16; ++k) {
      if (!passable(col, row, k)) continue;
      const std::size_t next = g.index(col + kCol[k], row + kRow[k]);
      const double length_m = g.cell_m * std::hypot(kCol[k], kRow[k]);
      const double rise_m = z.values[next] - z.values[now.cell];
      const float after = now.minutes + static_cast<float>(piece_minutes(length_m, towards ? -rise_m : rise_m, kOffPath));
      if (after >= minutes[next]) continue;
      minutes[next] = after;
      step[next] = static_cast<std::int8_t>(k);
      queue.push({after, static_cast<std::uint32_t>(next)});
    }
  }
}

std::vector<PlanePoint> TravelField::Impl::pull_straight(const std::vector<PlanePoint>& path) const {
  std::vector<PlanePoint> pulled{path.front()};
  std::size_t i = 0;
  while (i + 1 < path.size()) {
    std::size_t best = i + 1;
    // Longer and longer chords, as long as none crosses a wall or costs time against the vertices that it skips.
    for (std::size_t j = i + 2; j < path.size() && j <= i + 64; ++j) {
      if (!clear(path[i], path[j])) break;
      const std::vector<PlanePoint> along(path.begin() + static_cast<std::ptrdiff_t>(i), path.begin() + static_cast<std::ptrdiff_t>(j) + 1);
      if (walk_minutes({path[i], path[j]}, *ground.elevation_m) <= walk_minutes(along, *ground.elevation_m)) best = j;
    }
    pulled.push_back(path[best]);
    i = best;
  }
  return pulled;
}

TravelField::TravelField(const TravelGround& ground, const PlanePoint& place, bool towards, double most_min) : impl_(std::make_shared<Impl>()) {
  impl_->ground = ground;
  impl_->place = place;
  impl_->towards = towards;
  raster::require_same(ground.elevation_m->georef, ground.wall->georef);
  const Georef& g = impl_->georef();
  if (!g.contains(place.x_m, place.y_m)) throw Error(ErrorCode::bad_value, fmt::format("{:.0f}, {:.0f} lies outside the ground", place.x_m, place.y_m));
  if (!impl_->open(g.col_of(place.x_m), g.row_of(place.y_m)))
    throw Error(ErrorCode::bad_value, fmt::format("{:.0f}, {:.0f} lies in a wall (water, cliff, closed land) or where no elevation is known", place.x_m, place.y_m));
  impl_->spread(most_min);
}

double TravelField::minutes(const PlanePoint& point) const {
  const Georef& g = impl_->georef();
  if (!g.contains(point.x_m, point.y_m)) return kUnreached;
  return impl_->minutes[g.index(g.col_of(point.x_m), g.row_of(point.y_m))];
}

std::vector<PlanePoint> TravelField::path(const PlanePoint& point) const {
  if (!std::isfinite(minutes(point))) throw Error(ErrorCode::not_possible, fmt::format("{:.0f}, {:.0f} cannot be reached on foot", point.x_m, point.y_m));
  const Georef& g = impl_->georef();
  int col = g.col_of(point.x_m), row = g.row_of(point.y_m);
  std::vector<PlanePoint> path{point};
  while (impl_->step[g.index(col, row)] >= 0) {
    const int k = impl_->step[g.index(col, row)];
    col -= kCol[k];
    row -= kRow[k];
    path.push_back({g.x_of(col), g.y_of(row)});
  }
  path.back() = impl_->place;
  if (path.size() == 1) path.push_back(impl_->place);
  if (!impl_->towards) std::reverse(path.begin(), path.end());
  return impl_->pull_straight(path);
}

}  // namespace stumpwise::walk
