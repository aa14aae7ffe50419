#pragma once
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

#include "pull.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/walk/route.h"
#include "travel_graph.h"

namespace stumpwise::walk {

/// What the ways of one request hang on.
struct WaysTask {
  earth::PlanePoint start, end;
  std::vector<earth::PlanePoint> places;
  double most_min = 0;  ///< budget: no way between two places is looked for that no walk could hold
  /// Places (1) that must all be visited: ways among them are found however long, to tell the shortest walk.
  std::vector<std::uint8_t> must;
};

/// Ways from the start to every place, between all places and to the end. Those from the start and to the end
/// are pulled straight at once, those between places when they are asked for (and then kept; safe from many
/// threads).
class Ways {
 public:
  Ways(const TravelGround& ground, WaysTask task, int threads, const base::Progress& progress);

  std::size_t size() const { return task_.places.size(); }
  /// Empty line and infinite minutes where the place cannot be reached within kLongestWay_min.
  const Way& go(int place) const { return go_[place]; }
  const Way& back(int place) const { return back_[place]; }
  /// Along the graph; infinity where there is no way that a walk could hold.
  double rough_min(int from, int to) const { return rough_[index(from, to)].minutes; }
  std::vector<double> rough_minutes() const;
  /// Pulled straight: never longer than rough_min.
  const Way& between(int from, int to) const;

 private:
  std::size_t index(int from, int to) const { return static_cast<std::size_t>(from) * size() + to; }
  void reach_start_and_end(const TravelGraph& graph, int threads);
  void reach_from(const TravelGraph& graph, int from);
  Way shorter_of(Way rough, const earth::PlanePoint& a, const earth::PlanePoint& b) const;

  WaysTask task_;
  std::shared_ptr<const Land> land_;
  std::vector<std::vector<TravelGraph::Link>> links_;
  std::vector<Way> go_, back_, rough_;
  mutable std::mutex mutex_;
  mutable std::map<std::size_t, Way> pulled_;
};

}  // namespace stumpwise::walk
