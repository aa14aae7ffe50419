#include "pull.h"

#include <algorithm>
#include <limits>

namespace stumpwise::walk {
namespace {

/// How many vertices one new segment may pass by in one round; rounds follow each other on ever fewer
/// vertices.
constexpr std::size_t kWindow = 14;
constexpr int kMostRounds = 8;
/// No segment is quicker than this, flat or falling: Tobler's maximum off-path.
constexpr double kFastest_m_per_min = 100 * kOffPath;

/// One round: shortest way in the graph of all clear segments that pass by fewer than kWindow vertices.
Way one_round(const Land& land, const std::vector<earth::PlanePoint>& line) {
  const std::size_t n = line.size();
  std::vector<double> least_min(n, std::numeric_limits<double>::infinity());
  std::vector<std::size_t> before(n, 0);
  least_min[0] = 0;
  for (std::size_t to = 1; to < n; ++to)
    for (std::size_t from = to > kWindow ? to - kWindow : 0; from < to;
         ++from) {  // the longest segment first
      if (least_min[from] + distance_m(line[from], line[to]) / kFastest_m_per_min >= least_min[to]) continue;
      if (from + 1 < to && !land.clear(line[from], line[to])) continue;
      const double minutes = least_min[from] + land.minutes(line[from], line[to]).there;
      if (minutes < least_min[to] - 1e-9) {
        least_min[to] = minutes;
        before[to] = from;
      }
    }
  Way way;
  way.minutes = least_min.back();
  for (std::size_t at = n - 1; at > 0; at = before[at]) way.line.push_back(line[at]);
  way.line.push_back(line.front());
  std::reverse(way.line.begin(), way.line.end());
  return way;
}

}  // namespace

Way pulled(const Land& land, std::vector<earth::PlanePoint> line) {
  Way way{std::move(line), 0};
  if (way.line.size() < 2) return way;
  for (int round = 0; round < kMostRounds; ++round) {
    const std::size_t vertices = way.line.size();
    way = one_round(land, way.line);
    if (way.line.size() == vertices) break;
  }
  return way;
}

}  // namespace stumpwise::walk
