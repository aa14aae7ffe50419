#include "ways.h"

#include <algorithm>

#include "stumpwise/base/parallel.h"

namespace stumpwise::walk {
namespace {

/// Between places nearer than this the straight line is tried before the graph's way.
constexpr double kNear_m = 500;
/// Least time that two stops take, so that legs which leave no room for them are not looked for.
constexpr double kTwoStops_min = 2 * kLeastSearch_min;

void each(std::size_t n, int threads, const std::function<void(int)>& body) {
  base::parallel_ranges(n, threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      base::check_interrupt();
      body(static_cast<int>(i));
    }
  });
}

}  // namespace

Ways::Ways(const TravelGround& ground, WaysTask task, int threads, const base::Progress& progress)
    : task_(std::move(task)), land_(std::make_shared<Land>(ground)) {
  const auto tell = [&](double share) {
    if (progress) progress(share, "ways between the patches");
  };
  land_->require_open(task_.start, "start");
  land_->require_open(task_.end, "end");
  tell(0);
  const TravelGraph graph(land_, threads);
  for (const earth::PlanePoint& place : task_.places) links_.push_back(graph.links(place));
  const Way nowhere{{}, kNever_min};
  go_.assign(size(), nowhere);
  back_.assign(size(), nowhere);
  rough_.assign(size() * size(), nowhere);
  tell(0.2);
  reach_start_and_end(graph, threads);
  tell(0.4);
  each(size(), threads, [&](int from) { reach_from(graph, from); });
  links_.clear();
  tell(1);
}

Way Ways::shorter_of(Way rough, const earth::PlanePoint& a, const earth::PlanePoint& b) const {
  if (a == b && land_->open(a)) return {{a, b}, 0};
  if (distance_m(a, b) > kNear_m || !land_->clear(a, b)) return rough;
  const double minutes = land_->minutes(a, b).there;
  return minutes <= rough.minutes ? Way{{a, b}, minutes} : rough;
}

void Ways::reach_start_and_end(const TravelGraph& graph, int threads) {
  std::vector<TravelGraph::Link> wanted;
  for (const auto& links : links_) wanted.insert(wanted.end(), links.begin(), links.end());
  TravelGraph::Reach reaches[2];
  each(2, threads, [&](int which) {
    const auto links = graph.links(which == 0 ? task_.start : task_.end);
    reaches[which] = graph.search(links, which == 1, kLongestWay_min, wanted);
  });
  each(2 * size(), threads, [&](int task) {
    const int place = task / 2;
    const bool towards = task % 2 == 1;
    const earth::PlanePoint& other = towards ? task_.end : task_.start;
    const earth::PlanePoint& at = task_.places[place];
    const auto& reach = reaches[towards ? 1 : 0];
    Way rough{graph.line(reach, other, links_[place], at), graph.minutes(reach, links_[place])};
    rough = towards ? shorter_of(std::move(rough), at, other) : shorter_of(std::move(rough), other, at);
    if (rough.minutes == kNever_min) return;
    (towards ? back_ : go_)[place] = pulled(*land_, std::move(rough.line));
  });
}

void Ways::reach_from(const TravelGraph& graph, int from) {
  double nearest_back_min = kNever_min;
  for (const Way& way : back_) nearest_back_min = std::min(nearest_back_min, way.minutes);
  const auto both_must = [&](int to) { return to != from && task_.must[from] && task_.must[to]; };
  const auto useful = [&](int to) {
    return both_must(to) ||
           (to != from && go_[from].minutes + back_[to].minutes + kTwoStops_min <= task_.most_min);
  };
  double most_min = task_.most_min - go_[from].minutes - nearest_back_min - kTwoStops_min;
  for (int to = 0; to < static_cast<int>(size()); ++to)
    if (both_must(to)) most_min = kLongestWay_min;
  if (!(most_min > 0)) return;
  std::vector<TravelGraph::Link> wanted;
  for (std::size_t to = 0; to < size(); ++to)
    if (useful(static_cast<int>(to))) wanted.insert(wanted.end(), links_[to].begin(), links_[to].end());
  if (wanted.empty()) return;
  const TravelGraph::Reach reach = graph.search(links_[from], false, most_min, wanted);
  for (int to = 0; to < static_cast<int>(size()); ++to) {
    if (!useful(to)) continue;
    const earth::PlanePoint &a = task_.places[from], &b = task_.places[to];
    rough_[index(from, to)] =
        shorter_of({graph.line(reach, a, links_[to], b), graph.minutes(reach, links_[to])}, a, b);
  }
}

std::vector<double> Ways::rough_minutes() const {
  std::vector<double> minutes;
  minutes.reserve(rough_.size());
  for (const Way& way : rough_) minutes.push_back(way.minutes);
  return minutes;
}

const Way& Ways::between(int from, int to) const {
  const std::size_t key = index(from, to);
  const std::lock_guard lock(mutex_);
  const auto found = pulled_.find(key);
  if (found != pulled_.end()) return found->second;
  return pulled_.emplace(key, pulled(*land_, rough_[key].line))
      .first->second;  // a map's nodes stay where they are
}

}  // namespace stumpwise::walk
