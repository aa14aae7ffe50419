#include "track.h"

#include <algorithm>
#include <cmath>

namespace stumpwise::demo {
namespace {

constexpr double kMostError_m = 4;

double apart(const PlanePoint& a, const PlanePoint& b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

/// The receiver's error, which wanders.
class Receiver {
 public:
  explicit Receiver(base::Random& random) : random_(random) {}
  PlanePoint note(const PlanePoint& at) {
    east_m_ = std::clamp(0.8 * east_m_ + random_.normal(0, 1.3), -kMostError_m, kMostError_m);
    north_m_ = std::clamp(0.8 * north_m_ + random_.normal(0, 1.3), -kMostError_m, kMostError_m);
    return {at.x_m + east_m_, at.y_m + north_m_};
  }

 private:
  base::Random& random_;
  double east_m_ = 0, north_m_ = 0;
};

double to_segment_m(const PlanePoint& p, const PlanePoint& a, const PlanePoint& b) {
  const double dx = b.x_m - a.x_m, dy = b.y_m - a.y_m, square = dx * dx + dy * dy;
  const double t =
      square > 0 ? std::clamp(((p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy) / square, 0.0, 1.0) : 0;
  return std::hypot(p.x_m - a.x_m - t * dx, p.y_m - a.y_m - t * dy);
}

/// Leaves out a stretch of the points in the middle of the track, if chance will.
void lose_signal(WalkedTrack& track, base::Random& random) {
  const int count = static_cast<int>(track.points.size());
  if (count < 40 || !random.chance(0.15)) return;
  const int first = random.integer(12, count - 20), lost = random.integer(3, 8);
  for (int i = first + lost; i < count; ++i) track.points[i].segment = 1;
  track.points.erase(track.points.begin() + first, track.points.begin() + first + lost);
}

}  // namespace

WalkedTrack walk_track(const Walker& walker, const std::vector<WayPoint>& way, base::Random& random) {
  WalkedTrack track;
  Receiver receiver(random);
  double seconds = 0, since_m = 0, until_m = 25;
  const double fitness = random.uniform(0.88, 1.05);
  PlanePoint here = way.front().at;
  const auto note = [&](Going going) {
    track.points.push_back({here, receiver.note(here), seconds, walker.elevation_m(here), going, 0});
    since_m = 0;
    until_m = random.uniform(20, 30);
  };
  note(Going::open_ground);
  for (std::size_t i = 1; i < way.size(); ++i) {
    const bool turns = way[i].going != way[i - 1].going;
    while (apart(here, way[i].at) > 1e-6) {
      const double left_m = apart(here, way[i].at),
                   step_m = std::min({left_m, 5.0, std::max(0.5, until_m - since_m)});
      const PlanePoint next{here.x_m + (way[i].at.x_m - here.x_m) * step_m / left_m,
                            here.y_m + (way[i].at.y_m - here.y_m) * step_m / left_m};
      const double slope = (walker.elevation_m(next) - walker.elevation_m(here)) / step_m;
      const double took_s =
          60 * step_m / (Walker::speed_m_per_min(std::clamp(slope, -0.9, 0.9), way[i].going) * fitness);
      seconds += took_s;
      if (way[i].going == Going::searching) track.search_minutes += took_s / 60;
      since_m += step_m;
      here = next;
      if (since_m >= until_m) note(way[i].going);
    }
    // Where the way bends hard or its kind changes the receiver notes a point, so that no straight piece cuts
    // a corner.
    if (i + 1 == way.size() || turns || since_m > 6) note(way[i].going);
  }
  track.minutes = seconds / 60;
  lose_signal(track, random);
  return track;
}

std::pair<double, double> nearest_pass(const WalkedTrack& track, const PlanePoint& place, double most_m) {
  std::pair<double, double> nearest{most_m, most_m};
  for (std::size_t i = 0; i + 1 < track.points.size(); ++i) {
    const WalkedPoint &a = track.points[i], &b = track.points[i + 1];
    if (a.segment != b.segment || std::abs(a.at.x_m - place.x_m) > most_m + 40 ||
        std::abs(a.at.y_m - place.y_m) > most_m + 40)
      continue;
    double& least = b.going == Going::searching ? nearest.first : nearest.second;
    least = std::min(least, to_segment_m(place, a.at, b.at));
  }
  return nearest;
}

exchange::GpxTrack to_gpx_track(const WalkedTrack& track, Instant begin, const std::string& name) {
  exchange::GpxTrack made{name, {}};
  for (const WalkedPoint& point : track.points) {
    while (static_cast<int>(made.segments.size()) <= point.segment) made.segments.emplace_back();
    exchange::GpxPoint noted;
    noted.place = lat_lon(point.noted);
    noted.elevation_m = std::round(point.elevation_m * 10) / 10;
    noted.time = begin + std::chrono::seconds{static_cast<long>(std::lround(point.seconds))};
    made.segments[static_cast<std::size_t>(point.segment)].push_back(noted);
  }
  return made;
}

}  // namespace stumpwise::demo
