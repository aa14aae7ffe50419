// What must hold for every walk on any land.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "scene.h"

namespace stumpwise::walk {
namespace {

using namespace scene;

struct Case {
  Land land;
  std::vector<Patch> patches;
  WalkRequest request;
};

earth::PlanePoint open_place(const Land& land, base::Random& random) {
  const auto& g = land.wall.georef;
  for (;;) {
    const int col = random.integer(0, g.cols - 1), row = random.integer(0, g.rows - 1);
    bool known = land.wall.at(col, row) == 0;
    for (int r = std::max(0, row - 1); r <= std::min(g.rows - 1, row + 1); ++r)
      for (int c = std::max(0, col - 1); c <= std::min(g.cols - 1, col + 1); ++c)
        known = known && !std::isnan(land.elevation_m.at(c, r));
    if (!known) continue;
    return {g.x_of(col) + random.uniform(-0.4, 0.4) * g.cell_m,
            g.y_of(row) + random.uniform(-0.4, 0.4) * g.cell_m};
  }
}

Case some_case() {
  const int seed = *rc::gen::inRange(0, 1'000'000);
  base::Random random(static_cast<std::uint64_t>(seed));
  Case c;
  c.land = wild(static_cast<std::uint64_t>(seed), random.integer(15, 45), random.integer(15, 35),
                random.uniform(8, 40), random.uniform(0, 0.3), 0.004);
  c.request.start = open_place(c.land, random);
  if (random.chance(0.4)) c.request.end = open_place(c.land, random);
  c.request.budget_min = random.uniform(10, 300);
  c.request.daylight_min = random.uniform(10, 400);
  c.request.return_factor = random.uniform(1, 2);
  c.request.alternatives = random.integer(0, 2);
  const int count = random.integer(1, 12);
  for (int i = 1; i <= count; ++i)
    c.patches.push_back(patch(i, open_place(c.land, random), random.gamma(1, 2), random.uniform(900, 9000)));
  if (random.chance(0.3)) c.request.must = {random.integer(1, count)};
  for (int i = 1; i <= count; ++i)
    if (random.chance(0.15) && !std::count(c.request.must.begin(), c.request.must.end(), i))
      c.request.never.push_back(i);
  return c;
}

void check_line(const Case& c, const std::vector<earth::PlanePoint>& line, const earth::PlanePoint& from,
                const earth::PlanePoint& to, double minutes) {
  RC_ASSERT(line.size() >= 2u);
  RC_ASSERT(line.front() == from && line.back() == to);
  RC_ASSERT(keeps_to_open_land(line, c.land));
  RC_ASSERT(std::abs(checked_minutes(line, c.land.elevation_m) - minutes) <= 0.02 * minutes + 0.01);
}

void check_walk(const Case& c, const Walk& walk) {
  const auto end = c.request.end.value_or(c.request.start);
  RC_ASSERT(!walk.stops.empty());
  RC_ASSERT(walk.legs.size() == walk.stops.size() + 1);
  RC_ASSERT(walk.total_min <= c.request.budget_min);
  RC_ASSERT(walk.total_min <= c.request.daylight_min);
  double clock = 0, expected = 0;
  earth::PlanePoint at = c.request.start;
  std::vector<int> visited;
  for (std::size_t i = 0; i < walk.stops.size(); ++i) {
    const Stop& stop = walk.stops[i];
    const Leg& leg = walk.legs[i];
    RC_ASSERT(leg.from == static_cast<int>(i) - 1 && leg.to == static_cast<int>(i));
    check_line(c, leg.line, at, stop.place, leg.minutes);
    clock += leg.minutes;
    RC_ASSERT(std::abs(stop.arrive_min - clock) < 1e-6);
    RC_ASSERT(stop.search_min >= kLeastSearch_min - 1e-9);
    clock += stop.search_min;
    RC_ASSERT(std::abs(stop.leave_min - clock) < 1e-6);
    check_line(c, stop.return_line, stop.place, end, stop.return_min);
    RC_ASSERT(std::abs(stop.turn_back_min -
                       (c.request.daylight_min - c.request.return_factor * stop.return_min)) < 1e-9);
    RC_ASSERT(stop.leave_min <= stop.turn_back_min);
    const Patch& p = c.patches[stop.patch - 1];
    RC_ASSERT(stop.place == p.centre);
    const double coverage =
        c.request.sweep_width_m * c.request.search_speed_m_per_min * stop.search_min / p.area_m2;
    RC_ASSERT(coverage <= kMostCoverage + 1e-9 || stop.search_min <= kLeastSearch_min + 1e-9);
    RC_ASSERT(std::abs(stop.expected - p.expected * (1 - std::exp(-coverage))) < 1e-9);
    RC_ASSERT(stop.low90 <= stop.expected && stop.expected <= stop.high90);
    expected += stop.expected;
    visited.push_back(stop.patch);
    at = stop.place;
  }
  const Leg& last = walk.legs.back();
  RC_ASSERT(last.from == static_cast<int>(walk.stops.size()) - 1 && last.to == -1);
  check_line(c, last.line, at, end, last.minutes);
  RC_ASSERT(std::abs(walk.total_min - (clock + last.minutes)) < 1e-6);
  RC_ASSERT(std::abs(walk.expected - expected) < 1e-9);
  for (int id : c.request.must) RC_ASSERT(std::count(visited.begin(), visited.end(), id) == 1);
  for (int id : c.request.never) RC_ASSERT(std::count(visited.begin(), visited.end(), id) == 0);
  std::sort(visited.begin(), visited.end());
  RC_ASSERT(std::adjacent_find(visited.begin(), visited.end()) == visited.end());
}

RC_GTEST_PROP(PlannerProperty, EveryWalkIsLeftInTimeAndHolds, ()) {
  const Case c = some_case();
  const auto result = Planner(c.land.ground(), c.request, c.patches, 1).solve(c.request);
  RC_CLASSIFY(result.walks.empty());
  RC_ASSERT(result.walks.empty() || !result.shortest_min);
  for (const Walk& walk : result.walks) check_walk(c, walk);
}

RC_GTEST_PROP(PlannerProperty, TheShortestWalkIsTrue, ()) {
  Case c = some_case();
  c.request.budget_min = *rc::gen::inRange(0, 20);
  const Planner planner(c.land.ground(), c.request, c.patches, 1);
  const auto none = planner.solve(c.request);
  RC_CLASSIFY(none.shortest_min.has_value());
  if (!none.shortest_min) return;
  WalkRequest enough = c.request;
  enough.budget_min = *none.shortest_min;
  enough.daylight_min = std::max(enough.daylight_min, *none.shortest_min);
  const auto tried = planner.solve(enough);
  RC_ASSERT(!tried.walks.empty());
  check_walk({c.land, c.patches, enough}, tried.walks[0]);
  WalkRequest less = enough;
  less.budget_min -= 0.2;
  if (enough.daylight_min > *none.shortest_min)
    less.daylight_min = enough.daylight_min;
  else
    less.daylight_min -= 0.2;
  RC_ASSERT(planner.solve(less).walks.empty());
}

}  // namespace
}  // namespace stumpwise::walk
