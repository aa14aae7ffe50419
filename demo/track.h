#pragma once
#include <utility>
#include <vector>

#include "stumpwise/exchange/gpx.h"
#include "walker.h"

namespace stumpwise::demo {

/// A way as it was really gone: true places and seconds since the start.
struct WalkedPoint {
  PlanePoint at;     ///< true
  PlanePoint noted;  ///< as the receiver says
  double seconds = 0;
  double elevation_m = 0;
  Going going = Going::open_ground;
  int segment = 0;
};
struct WalkedTrack {
  std::vector<WalkedPoint> points;
  double minutes = 0, search_minutes = 0;
};

/// A point every 20 to 30 m, speed by slope and going, receiver errors of about 3 m that hold on for some
/// points (at most 4 m each way); now and then the receiver is off for some minutes and a new segment begins.
WalkedTrack walk_track(const Walker& walker, const std::vector<WayPoint>& way, base::Random& random);

/// Least distance of a place from what was searched and from what was walked; `most_m` where it is further.
std::pair<double, double> nearest_pass(const WalkedTrack& track, const PlanePoint& place, double most_m);

exchange::GpxTrack to_gpx_track(const WalkedTrack& track, Instant begin, const std::string& name);

}  // namespace stumpwise::demo
