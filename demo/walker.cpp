#include "walker.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

#include "stumpwise/base/error.h"

namespace stumpwise::demo {
namespace {

constexpr int kFine = 2;  ///< cells of the map across one of the walker's
constexpr double kCell_m = 20;
constexpr float kTooSteep_deg = 40;

struct Reached {
  float estimate_min;
  int cell;
  bool operator<(const Reached& other) const {
    return estimate_min != other.estimate_min ? estimate_min > other.estimate_min : cell > other.cell;
  }
};

double apart(const PlanePoint& a, const PlanePoint& b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

}  // namespace

Walker::Walker(const Land& land) : land_(land) {
  const raster::Georef& g = land.relief.elevation_m.georef;
  cols_ = g.cols / kFine;
  rows_ = g.rows / kFine;
  wall_.assign(static_cast<std::size_t>(cols_) * rows_, 0);
  trail_.assign(wall_.size(), 0);
  height_m_.resize(wall_.size());
  for (int row = 0; row < rows_; ++row)
    for (int col = 0; col < cols_; ++col) {
      const int cell = row * cols_ + col;
      for (int r = row * kFine - 1; r <= row * kFine + kFine; ++r)
        for (int c = col * kFine - 1; c <= col * kFine + kFine; ++c)
          if (!g.inside(c, r) || land.relief.channel[g.index(c, r)] ||
              land.relief.slope_deg.at(c, r) > kTooSteep_deg)
            wall_[cell] = 1;
      const PlanePoint middle = middle_of(cell);
      height_m_[cell] = static_cast<float>(elevation_m(middle));
      for (const Area& area : land.access)
        if (!area.entered && apart(middle, area.ring.front()) < 1500 && inside_ring(area.ring, middle))
          wall_[cell] = 1;
    }
  // The bridge opens the cells in its line, and no others.
  const PlanePoint &south = land.relief.bridge_south, &north = land.relief.bridge_north;
  for (double y = south.y_m - 20; y <= north.y_m + 20; y += 5) wall_[cell_of({south.x_m, y})] = 0;
}

int Walker::cell_of(const PlanePoint& point) const {
  const raster::Georef& g = land_.relief.elevation_m.georef;
  const int col = static_cast<int>(std::floor((point.x_m - g.left_m) / kCell_m)),
            row = static_cast<int>(std::floor((g.top_m - point.y_m) / kCell_m));
  return col < 0 || row < 0 || col >= cols_ || row >= rows_ ? -1 : row * cols_ + col;
}

PlanePoint Walker::middle_of(int cell) const {
  const raster::Georef& g = land_.relief.elevation_m.georef;
  return {g.left_m + (cell % cols_ + 0.5) * kCell_m, g.top_m - (cell / cols_ + 0.5) * kCell_m};
}

bool Walker::open(const PlanePoint& point) const {
  const int cell = cell_of(point);
  return cell >= 0 && !wall_[cell];
}

bool Walker::clear(const PlanePoint& from, const PlanePoint& to) const {
  const int steps = std::max(1, static_cast<int>(std::ceil(apart(from, to) / 3)));
  for (int k = 0; k <= steps; ++k) {
    const double t = static_cast<double>(k) / steps;
    if (!open({from.x_m + t * (to.x_m - from.x_m), from.y_m + t * (to.y_m - from.y_m)})) return false;
  }
  return true;
}

double Walker::elevation_m(const PlanePoint& point) const {
  return land_.relief.elevation_m.bilinear(point.x_m, point.y_m).value_or(0);
}

double Walker::speed_m_per_min(double slope, Going going) {
  if (going == Going::searching) return 15;
  return 100 * std::exp(-3.5 * std::abs(slope + 0.05)) * (going == Going::trail ? 1.0 : 0.6);
}

void Walker::mark_trail(const std::vector<PlanePoint>& line) {
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const int steps = std::max(1, static_cast<int>(apart(line[i], line[i + 1]) / 5));
    for (int k = 0; k <= steps; ++k) {
      const double t = static_cast<double>(k) / steps;
      const int cell = cell_of({line[i].x_m + t * (line[i + 1].x_m - line[i].x_m),
                                line[i].y_m + t * (line[i + 1].y_m - line[i].y_m)});
      if (cell >= 0) trail_[cell] = 1;
    }
  }
}

std::optional<std::vector<WayPoint>> Walker::way(const PlanePoint& from, const PlanePoint& to) const {
  const int start = cell_of(from), end = cell_of(to);
  if (start < 0 || end < 0 || wall_[start] || wall_[end]) return std::nullopt;
  // Trails allow 100 m a minute. A little less lets the search look aside less: the way may be some percent
  // slower than the quickest, as people's are.
  constexpr float kFastest_m_per_min = 70;
  std::vector<float> minutes(wall_.size(), std::numeric_limits<float>::infinity());
  std::vector<int> before(wall_.size(), -1);
  std::priority_queue<Reached> queue;
  const PlanePoint goal = middle_of(end);
  minutes[start] = 0;
  queue.push({0, start});
  while (!queue.empty()) {
    const Reached best = queue.top();
    queue.pop();
    if (best.cell == end) break;
    const int col = best.cell % cols_, row = best.cell / cols_;
    if (best.estimate_min >
        minutes[best.cell] + apart(middle_of(best.cell), goal) / kFastest_m_per_min + 1e-3f)
      continue;
    for (int dr = -1; dr <= 1; ++dr)
      for (int dc = -1; dc <= 1; ++dc) {
        const int c = col + dc, r = row + dr;
        if ((!dc && !dr) || c < 0 || r < 0 || c >= cols_ || r >= rows_) continue;
        const int next = r * cols_ + c;
        if (wall_[next] || wall_[row * cols_ + c] || wall_[r * cols_ + col]) continue;  // no corner is cut
        const double step_m = kCell_m * (dc && dr ? 1.41421356 : 1.0);
        const Going going = trail_[next] && trail_[best.cell] ? Going::trail : Going::open_ground;
        const auto reached = static_cast<float>(
            minutes[best.cell] +
            step_m / speed_m_per_min((height_m_[next] - height_m_[best.cell]) / step_m, going));
        if (reached >= minutes[next]) continue;
        minutes[next] = reached;
        before[next] = best.cell;
        queue.push({reached + static_cast<float>(apart(middle_of(next), goal)) / kFastest_m_per_min, next});
      }
  }
  if (start != end && before[end] < 0) return std::nullopt;
  std::vector<int> cells;
  for (int cell = end; cell >= 0; cell = before[cell]) cells.push_back(cell);
  std::reverse(cells.begin(), cells.end());
  return pulled_straight(cells, from, to);
}

/// Off the trail the zigzag of the eight directions is drawn straight over up to 300 m where nothing is in
/// the way.
std::vector<WayPoint> Walker::pulled_straight(const std::vector<int>& cells, const PlanePoint& from,
                                              const PlanePoint& to) const {
  std::vector<WayPoint> way;
  PlanePoint anchor = from;
  std::size_t i = 0;
  const std::size_t last = cells.size() - 1;
  const auto point = [&](std::size_t k) { return k == last ? to : middle_of(cells[k]); };
  while (i < last) {
    std::size_t next = i + 1;
    const bool on_trail = trail_[cells[i]] && trail_[cells[next]];
    if (!on_trail)
      while (next < last && next < i + 15 && !trail_[cells[next]] && clear(anchor, point(next + 1))) ++next;
    way.push_back({point(next), on_trail ? Going::trail : Going::open_ground});
    anchor = way.back().at;
    i = next;
  }
  if (way.empty()) way.push_back({to, Going::open_ground});
  return way;
}

std::vector<WayPoint> Walker::search(base::Random& random, const PlanePoint& middle, double radius_m,
                                     double length_m, const std::vector<PlanePoint>& drawn_to) const {
  std::vector<WayPoint> way;
  std::vector<bool> visited(drawn_to.size(), false);
  PlanePoint here = middle;
  double heading = random.uniform(0, 6.283185307179586), walked_m = 0;
  for (int stuck = 0; walked_m < length_m && stuck < 60;) {
    PlanePoint next;
    std::size_t nearest = drawn_to.size();
    for (std::size_t k = 0; k < drawn_to.size(); ++k)
      if (!visited[k] && apart(drawn_to[k], middle) < radius_m + 20 && apart(drawn_to[k], here) < 70 &&
          (nearest == drawn_to.size() || apart(drawn_to[k], here) < apart(drawn_to[nearest], here)))
        nearest = k;
    if (nearest < drawn_to.size() && stuck == 0) {
      visited[nearest] = true;
      next = {drawn_to[nearest].x_m + random.normal(0, 1.5), drawn_to[nearest].y_m + random.normal(0, 1.5)};
    } else {
      heading += random.normal(0, 0.7);
      const double step_m = random.uniform(20, 45);
      next = {here.x_m + step_m * std::cos(heading), here.y_m + step_m * std::sin(heading)};
    }
    if (apart(next, middle) > radius_m + 25 || !clear(here, next)) {
      heading = std::atan2(middle.y_m - here.y_m, middle.x_m - here.x_m) + random.normal(0, 0.9);
      ++stuck;
      continue;
    }
    stuck = 0;
    walked_m += apart(here, next);
    way.push_back({next, Going::searching});
    here = next;
  }
  return way;
}

}  // namespace stumpwise::demo
