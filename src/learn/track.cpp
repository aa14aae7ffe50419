#include <algorithm>
#include <cmath>
#include <functional>

#include "stumpwise/learn/exposure.h"

namespace stumpwise::learn {
namespace {

using earth::PlanePoint;

constexpr double kWindow_s = 8;         // mean over this much before and after
constexpr std::size_t kNeighbours = 2;  // median, and mean where there are no times
constexpr double kLeastStep_m = 8;      // about twice the error of a receiver under trees
constexpr double kDense_s = 10, kDense_m = 15;
constexpr double kFastest_m_per_s = 7.0 / 3.6;
constexpr double kSecondsPerMinute = 60;

struct Point {
  PlanePoint at;
  double time_s = 0;
};
struct Segment {
  std::vector<Point> points;
  bool timed = true;
};

double distance(const PlanePoint& a, const PlanePoint& b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::vector<Segment> segments_of(const std::vector<records::TrackPoint>& track, const earth::Utm& utm) {
  std::vector<Segment> segments;
  for (std::size_t i = 0; i < track.size(); ++i) {
    if (i == 0 || track[i].segment != track[i - 1].segment) segments.emplace_back();
    Segment& segment = segments.back();
    Point point{utm.forward(track[i].place), 0};
    if (track[i].time) point.time_s = static_cast<double>(track[i].time->time_since_epoch().count());
    if (!track[i].time || (!segment.points.empty() && point.time_s < segment.points.back().time_s))
      segment.timed = false;
    segment.points.push_back(point);
  }
  for (Segment& segment : segments)
    if (segment.points.back().time_s <= segment.points.front().time_s) segment.timed = false;
  return segments;
}

/// Whether the points lie so close that noise, not shape, is between them.
bool dense(const Segment& segment) {
  if (segment.points.size() < 3) return false;
  std::vector<double> steps;
  for (std::size_t i = 1; i < segment.points.size(); ++i) {
    const Point &a = segment.points[i - 1], &b = segment.points[i];
    steps.push_back(segment.timed ? b.time_s - a.time_s : distance(a.at, b.at));
  }
  return median(std::move(steps)) <= (segment.timed ? kDense_s : kDense_m);
}

/// Replaces each place by the median of its neighbours; the window shrinks evenly towards the ends, which
/// stay.
void take_out_leaps(Segment& segment) {
  const std::vector<Point> before = segment.points;
  for (std::size_t i = 0; i < before.size(); ++i) {
    const std::size_t reach = std::min({kNeighbours, i, before.size() - 1 - i});
    std::vector<double> x, y;
    for (std::size_t j = i - reach; j <= i + reach; ++j) {
      x.push_back(before[j].at.x_m);
      y.push_back(before[j].at.y_m);
    }
    segment.points[i].at = {median(std::move(x)), median(std::move(y))};
  }
}

void take_means(Segment& segment) {
  const std::vector<Point> before = segment.points;
  auto near = [&](std::size_t i, std::size_t j) {
    if (segment.timed) return std::abs(before[i].time_s - before[j].time_s) <= kWindow_s;
    return (i > j ? i - j : j - i) <= kNeighbours;
  };
  for (std::size_t i = 0; i < before.size(); ++i) {
    // As many points on one side as on the other: the ends are not drawn inwards.
    std::size_t reach = 0;
    while (reach < i && i + reach + 1 < before.size() && near(i, i - reach - 1) && near(i, i + reach + 1))
      ++reach;
    double x = 0, y = 0;
    for (std::size_t j = i - reach; j <= i + reach; ++j) {
      x += before[j].at.x_m;
      y += before[j].at.y_m;
    }
    const auto n = static_cast<double>(2 * reach + 1);
    segment.points[i].at = {x / n, y / n};
  }
}

/// Pieces of at least the least step, sorted into searched and set apart.
void add_segment(const Segment& segment, SearchedPath& path) {
  bool open = false;
  Point last = segment.points.front();
  for (const Point& point : segment.points) {
    const double step_m = distance(last.at, point.at);
    if (step_m < kLeastStep_m) continue;
    const double time_s = point.time_s - last.time_s,
                 minutes = segment.timed ? time_s / kSecondsPerMinute : 0;
    if (segment.timed && step_m > kFastest_m_per_s * time_s) {
      path.set_apart_m += step_m;
      path.set_apart_min += minutes;
      open = false;
    } else {
      if (!open) path.lines.push_back({last.at});
      path.lines.back().push_back(point.at);
      path.searched_m += step_m;
      path.searched_min += minutes;
      open = true;
    }
    last = point;
  }
  // What is left at the end is standing about.
  if (segment.timed) path.searched_min += (segment.points.back().time_s - last.time_s) / kSecondsPerMinute;
}

}  // namespace

SearchedPath searched_path(const std::vector<records::TrackPoint>& track, int epsg) {
  const earth::Utm utm = earth::Utm::from_epsg(epsg);
  SearchedPath path;
  for (Segment& segment : segments_of(track, utm)) {
    if (dense(segment)) {
      take_out_leaps(segment);
      take_means(segment);
    }
    add_segment(segment, path);
  }
  return path;
}

}  // namespace stumpwise::learn
