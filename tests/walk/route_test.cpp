#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>
#include <set>

#include "flat_case.h"
#include "stumpwise/base/error.h"

namespace stumpwise::walk {
namespace {

using namespace scene;
using testing::HasSubstr;

/// Best of all orders of all subsets, search minutes in steps of `step_min` from 5 up, by dynamic programming
/// along the order.
double brute_force(const FlatCase& c, double step_min) {
  const auto end = c.request.end.value_or(c.request.start);
  const int n = static_cast<int>(c.patches.size());
  double best = 0;
  std::vector<int> order;
  std::vector<bool> used(n, false);
  const int most_steps = static_cast<int>(c.request.budget_min / step_min) + 1;
  // found[k]: most finds of the order so far with k steps of search used.
  const auto extend = [&](auto&& self, const std::vector<double>& found, double way_min,
                          const earth::PlanePoint& at) -> void {
    for (int p = 0; p < n; ++p) {
      if (used[p]) continue;
      const Patch& patch = c.patches[p];
      const double arrive_way = way_min + c.way_min(at, patch.centre), back = c.way_min(patch.centre, end);
      const double per_min = c.request.sweep_width_m * c.request.search_speed_m_per_min / patch.area_m2;
      const double leave_by = c.request.daylight_min - c.request.return_factor * back;
      std::vector<double> next(most_steps + 1, -1);
      bool any = false;
      for (int k = 0; k <= most_steps; ++k) {
        if (found[k] < 0) continue;
        for (int more = static_cast<int>(std::ceil(kLeastSearch_min / step_min)); k + more <= most_steps;
             ++more) {
          const double search = (k + more) * step_min;
          if (arrive_way + search > leave_by) break;
          const double value = found[k] + patch.expected * (1 - std::exp(-per_min * more * step_min));
          next[k + more] = std::max(next[k + more], value);
          any = true;
          if (arrive_way + search + back <= c.request.budget_min) best = std::max(best, value);
        }
      }
      if (!any) continue;
      used[p] = true;
      self(self, next, arrive_way, patch.centre);
      used[p] = false;
    }
  };
  std::vector<double> none(most_steps + 1, -1);
  none[0] = 0;
  extend(extend, none, 0, c.request.start);
  return best;
}

TEST(Planner, ComesCloseToTheBestOfAllOrders) {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    FlatCase c(seed, 6, 60 + 12.0 * static_cast<double>(seed));
    if (seed % 3 == 0) {  // little daylight and a cautious factor: the turn-back times bind
      c.request.daylight_min = c.request.budget_min - 10;
      c.request.return_factor = 1.8;
    }
    if (seed % 4 == 1)
      c.request.end = earth::PlanePoint{c.land.wall.georef.x_of(75), c.land.wall.georef.y_of(60)};
    const double best = brute_force(c, 3);
    const auto result = Planner(c.land.ground(), c.request, c.patches, 1).solve(c.request);
    const double found = result.walks.empty() ? 0 : result.walks[0].expected;
    EXPECT_GE(found, 0.995 * best) << "seed " << seed;
    // Minutes need no steps there, so it may do a little better, not much.
    EXPECT_LE(found, 1.06 * best + 0.05) << "seed " << seed;
    EXPECT_GT(best, 0) << "seed " << seed;
  }
}

TEST(Planner, SevenPatchesAgainstAllOrders) {
  const FlatCase c(77, 7, 130);
  const double best = brute_force(c, 5);
  const auto result = Planner(c.land.ground(), c.request, c.patches, 2).solve(c.request);
  ASSERT_FALSE(result.walks.empty());
  EXPECT_GE(result.walks[0].expected, 0.995 * best);
}

// Two patches at the same place of the same size: minutes go where the last of them finds as much.
TEST(Planner, DividesTheSearchByEqualMarginalReturn) {
  FlatCase c(5, 0, 200);
  const auto& g = c.land.wall.georef;
  c.request.start = {g.x_of(70), g.y_of(60)};
  c.patches = {patch(1, {g.x_of(75), g.y_of(60)}, 6), patch(2, {g.x_of(75), g.y_of(66)}, 2),
               patch(3, {g.x_of(70), g.y_of(66)}, 3)};
  const auto result = Planner(c.land.ground(), c.request, c.patches, 1).solve(c.request);
  ASSERT_EQ(result.walks.size(), 1u);
  const Walk& walk = result.walks[0];
  ASSERT_EQ(walk.stops.size(), 3u);
  const double per_min = 6 * 15 / 8100.0;
  std::vector<double> last;
  for (const Stop& stop : walk.stops)
    last.push_back(c.patches[stop.patch - 1].expected * per_min * std::exp(-per_min * stop.search_min));
  EXPECT_NEAR(last[0], last[1], 1e-6);
  EXPECT_NEAR(last[0], last[2], 1e-6);
  EXPECT_NEAR(walk.total_min, 200, 1e-3);
  double expected = 0, low = 0, high = 0;
  for (const Stop& stop : walk.stops) {
    const Patch& p = c.patches[stop.patch - 1];
    expected += expected_finds(p.expected, 6, 15 * stop.search_min, p.area_m2);
    low += expected_finds(p.low90, 6, 15 * stop.search_min, p.area_m2);
    high += expected_finds(p.high90, 6, 15 * stop.search_min, p.area_m2);
  }
  EXPECT_NEAR(walk.expected, expected, 1e-9);
  EXPECT_NEAR(walk.low90, low, 1e-9);
  EXPECT_NEAR(walk.high90, high, 1e-9);
}

TEST(Planner, TellsWhenToLeaveAPatch) {
  FlatCase c(8, 6, 240);
  c.request.shape_r = 2;
  const auto result = Planner(c.land.ground(), c.request, c.patches, 1).solve(c.request);
  ASSERT_FALSE(result.walks.empty());
  const Walk& walk = result.walks[0];
  const double average = walk.expected / walk.total_min;
  for (const Stop& stop : walk.stops) {
    const Patch& p = c.patches[stop.patch - 1];
    ASSERT_EQ(stop.leave_after_min.size(), 3u);
    for (int found = 0; found <= 2; ++found) {
      const double minutes = stop.leave_after_min[found];
      EXPECT_LE(minutes, stop.turn_back_min - stop.arrive_min + 1e-9);
      if (minutes <= 0 || minutes > stop.turn_back_min - stop.arrive_min - 1e-9) continue;
      const double rate = rate_to_come(p.expected, 2, 6 * 15 * minutes / p.area_m2, found, 6, p.area_m2) * 15;
      EXPECT_NEAR(rate, average, 1e-9);
    }
    EXPECT_LE(stop.leave_after_min[0], stop.leave_after_min[1]);
    EXPECT_LE(stop.leave_after_min[1], stop.leave_after_min[2]);
  }
}

TEST(Planner, KeepsMustsAndLeavesOutNevers) {
  FlatCase c(11, 7, 240);
  for (Patch& p : c.patches) p.expected += p.id == 3 ? -p.expected + 0.01 : 0;  // the poorest
  const Planner planner(c.land.ground(), c.request, c.patches, 1);
  const auto ids = [](const Walk& walk) {
    std::set<int> found;
    for (const Stop& stop : walk.stops) found.insert(stop.patch);
    return found;
  };
  const auto free = planner.solve(c.request);
  ASSERT_FALSE(free.walks.empty());
  const int richest = *ids(free.walks[0]).begin();
  c.request.must = {3};
  c.request.never = {richest == 3 ? 4 : richest};
  const auto bound = planner.solve(c.request);
  ASSERT_FALSE(bound.walks.empty());
  EXPECT_TRUE(ids(bound.walks[0]).count(3));
  EXPECT_FALSE(ids(bound.walks[0]).count(c.request.never[0]));
  EXPECT_LE(bound.walks[0].expected, free.walks[0].expected + 1e-9);

  c.request.must = {99};
  try {
    planner.solve(c.request);
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::bad_value);
    EXPECT_THAT(error.full_text(), HasSubstr("99"));
  }
  c.request.must = {4};
  c.request.never = {4};
  EXPECT_THROW(planner.solve(c.request), Error);
}

TEST(Planner, VisitsAMustWhereNothingStands) {
  FlatCase c(12, 4, 200);
  c.patches[1].expected = 0;
  c.request.must = {2};
  const auto result = Planner(c.land.ground(), c.request, c.patches, 1).solve(c.request);
  ASSERT_FALSE(result.walks.empty());
  bool there = false;
  for (const Stop& stop : result.walks[0].stops) there = there || stop.patch == 2;
  EXPECT_TRUE(there);
}

TEST(Planner, EndsElsewhereWhenAsked) {
  FlatCase c(21, 5, 200);
  c.request.end = earth::PlanePoint{c.land.wall.georef.x_of(140), c.land.wall.georef.y_of(10)};
  const auto result = Planner(c.land.ground(), c.request, c.patches, 1).solve(c.request);
  ASSERT_FALSE(result.walks.empty());
  EXPECT_EQ(result.walks[0].legs.front().line.front(), c.request.start);
  EXPECT_EQ(result.walks[0].legs.back().line.back(), *c.request.end);
  for (const Stop& stop : result.walks[0].stops) EXPECT_EQ(stop.return_line.back(), *c.request.end);
}

TEST(Planner, AlternativesShareLessThanHalfOfTheStops) {
  FlatCase c(31, 20, 150);
  c.request.alternatives = 3;
  const auto result = Planner(c.land.ground(), c.request, c.patches, 2).solve(c.request);
  ASSERT_GE(result.walks.size(), 3u);
  for (std::size_t a = 0; a < result.walks.size(); ++a)
    for (std::size_t b = a + 1; b < result.walks.size(); ++b) {
      EXPECT_GE(result.walks[a].expected, result.walks[b].expected);
      std::size_t shared = 0;
      for (const Stop& s : result.walks[a].stops)
        for (const Stop& t : result.walks[b].stops) shared += s.patch == t.patch;
      EXPECT_LT(2 * shared, std::min(result.walks[a].stops.size(), result.walks[b].stops.size()));
    }
  c.request.alternatives = 0;
  EXPECT_EQ(Planner(c.land.ground(), c.request, c.patches, 2).solve(c.request).walks.size(), 1u);
}

TEST(Planner, AnotherDayAnotherWalk) {
  FlatCase c(41, 8, 120);
  const Planner planner(c.land.ground(), c.request, c.patches, 1);
  const auto usual = planner.solve(c.request);
  ASSERT_FALSE(usual.walks.empty());
  // All now stands in one patch that the usual walk left out, or in the last.
  std::set<int> visited;
  for (const Stop& stop : usual.walks[0].stops) visited.insert(stop.patch);
  int other = 8;
  for (int id = 1; id <= 8; ++id)
    if (!visited.count(id)) other = id;
  std::vector<double> expected(8, 0.01), low(8, 0.001), high(8, 0.1);
  expected[other - 1] = 20;
  const auto changed = planner.solve(expected, low, high, c.request);
  ASSERT_FALSE(changed.walks.empty());
  bool there = false;
  for (const Stop& stop : changed.walks[0].stops) there = there || stop.patch == other;
  EXPECT_TRUE(there);
  EXPECT_THROW(planner.solve({1, 2}, {1, 2}, {1, 2}, c.request), Error);
  WalkRequest moved = c.request;
  moved.start.x_m += 30;
  EXPECT_THROW(planner.solve(moved), Error);
}

/// Every number of a result, to be compared exactly.
std::vector<double> numbers(const WalkResult& result) {
  std::vector<double> all{result.shortest_min.value_or(-1)};
  for (const Walk& walk : result.walks) {
    all.insert(all.end(), {walk.total_min, walk.expected, walk.low90, walk.high90});
    for (const Stop& s : walk.stops)
      all.insert(all.end(),
                 {1.0 * s.patch, s.arrive_min, s.search_min, s.leave_min, s.return_min, s.turn_back_min});
    for (const Leg& leg : walk.legs)
      for (const auto& point : leg.line) all.insert(all.end(), {point.x_m, point.y_m});
  }
  return all;
}

TEST(Planner, IsTheSameForAnyNumberOfThreadsAndWhenAskedAgain) {
  const Land land = wild(5, 90, 70, 20, 0.08, 0.002);
  const auto& g = land.wall.georef;
  std::vector<Patch> patches;
  base::Random random(9);
  for (int i = 0; i < 20; ++i)
    patches.push_back(
        patch(i + 1, {g.x_of(random.integer(0, 89)), g.y_of(random.integer(0, 69))}, random.uniform(0.1, 5)));
  earth::PlanePoint start{};
  for (int col = 40; col < 60 && start.x_m == 0; ++col)
    if (land.wall.at(col, 35) == 0 && land.elevation_m.bilinear(g.x_of(col), g.y_of(35)))
      start = {g.x_of(col), g.y_of(35)};
  WalkRequest request = request_from(start, 240);
  request.alternatives = 2;
  const Planner one(land.ground(), request, patches, 1), four(land.ground(), request, patches, 4);
  const auto first = numbers(one.solve(request));
  EXPECT_GT(first.size(), 20u);
  EXPECT_EQ(first, numbers(four.solve(request)));
  WalkRequest shorter = request;
  shorter.budget_min = 100;
  one.solve(shorter);  // what was asked in between does not matter
  EXPECT_EQ(first, numbers(one.solve(request)));
}

TEST(Planner, StopsOnRequest) {
  FlatCase c(51, 10, 200);
  const Planner planner(c.land.ground(), c.request, c.patches, 1);
  base::set_interrupted(true);
  try {
    Planner(c.land.ground(), c.request, c.patches, 2);
    ADD_FAILURE() << "not stopped";
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::cancelled);
  }
  EXPECT_THROW(planner.solve(c.request), Error);
  base::set_interrupted(false);
  EXPECT_NO_THROW(planner.solve(c.request));
}

TEST(Planner, TellsHowFarItIs) {
  FlatCase c(52, 5, 200);
  std::vector<double> shares;
  Planner(c.land.ground(), c.request, c.patches, 1,
          [&](double share, const std::string&) { shares.push_back(share); });
  ASSERT_GE(shares.size(), 2u);
  EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
  EXPECT_EQ(shares.back(), 1);
}

}  // namespace
}  // namespace stumpwise::walk
