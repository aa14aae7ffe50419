// Where no walk fits, and where none can be asked for.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "flat_case.h"
#include "stumpwise/base/error.h"

namespace stumpwise::walk {
namespace {

using namespace scene;
using testing::HasSubstr;

TEST(Planner, MustsThatDoNotFitSayTheShortestWalk) {
  FlatCase c(13, 6, 25);
  c.request.must = {1, 2, 3};
  Planner planner(c.land.ground(), c.request, c.patches, 1);
  const auto none = planner.solve(c.request);
  EXPECT_TRUE(none.walks.empty());
  ASSERT_TRUE(none.shortest_min);
  // By hand: the shortest of the six orders and five minutes in each.
  std::vector<int> order{0, 1, 2};
  double least = 1e9;
  do {
    double minutes = 15 + c.way_min(c.request.start, c.patches[order[0]].centre) +
                     c.way_min(c.patches[order[2]].centre, c.request.start);
    for (int i = 1; i < 3; ++i)
      minutes += c.way_min(c.patches[order[i - 1]].centre, c.patches[order[i]].centre);
    least = std::min(least, minutes);
  } while (std::next_permutation(order.begin(), order.end()));
  EXPECT_GE(*none.shortest_min, least - 1e-6);
  EXPECT_LE(*none.shortest_min, 1.03 * least + 0.1);
  c.request.budget_min = *none.shortest_min;
  c.request.daylight_min = *none.shortest_min + 300;
  const auto some = Planner(c.land.ground(), c.request, c.patches, 1).solve(c.request);
  ASSERT_FALSE(some.walks.empty());
  EXPECT_EQ(some.walks[0].stops.size(), 3u);
}

TEST(Planner, SaysTheShortestWalkThatWorks) {
  FlatCase c(3, 5, 0);
  const Planner planner(c.land.ground(), c.request, c.patches, 1);
  double least = 1e9;
  for (const Patch& p : c.patches)
    least = std::min(least, 2 * c.way_min(c.request.start, p.centre) + kLeastSearch_min);
  for (double budget : {-30.0, 0.0, least - 0.2}) {
    c.request.budget_min = budget;
    const auto none = planner.solve(c.request);
    EXPECT_TRUE(none.walks.empty());
    ASSERT_TRUE(none.shortest_min);
    EXPECT_GE(*none.shortest_min, least - 1e-6);
    EXPECT_LE(*none.shortest_min, least + 0.2);
  }
  c.request.budget_min = *planner.solve(c.request).shortest_min;
  EXPECT_EQ(planner.solve(c.request).walks.size(), 1u);
}

// Too late in the day: the answer is how long before the deadline one must leave, with the factor on the way
// back.
TEST(Planner, SaysHowMuchDaylightIsNeeded) {
  FlatCase c(3, 1, 300);
  c.request.daylight_min = 10;
  c.request.return_factor = 1.5;
  const Planner planner(c.land.ground(), c.request, c.patches, 1);
  const auto none = planner.solve(c.request);
  EXPECT_TRUE(none.walks.empty());
  const double way = c.way_min(c.request.start, c.patches[0].centre);
  ASSERT_TRUE(none.shortest_min);
  EXPECT_NEAR(*none.shortest_min, way + 5 + 1.5 * way, 0.15);
  c.request.daylight_min = *none.shortest_min;
  EXPECT_EQ(planner.solve(c.request).walks.size(), 1u);
  c.request.daylight_min -= 0.2;
  EXPECT_TRUE(planner.solve(c.request).walks.empty());
}

TEST(Planner, HasNoAnswerWherePatchesCannotBeReached) {
  const Land land = drawn({"A..#...", "...#.B.", "...#..."});
  const auto request = request_from(land.at.at('A'), 300);
  const auto shut = Planner(land.ground(), request, {patch(1, land.at.at('B'), 3)}, 1).solve(request);
  EXPECT_TRUE(shut.walks.empty());
  EXPECT_FALSE(shut.shortest_min);
  const auto nothing = Planner(land.ground(), request, {}, 1).solve(request);
  EXPECT_TRUE(nothing.walks.empty());
  EXPECT_FALSE(nothing.shortest_min);
  const auto barren = Planner(land.ground(), request, {patch(1, land.at.at('A'), 0)}, 1).solve(request);
  EXPECT_TRUE(barren.walks.empty());
  EXPECT_FALSE(barren.shortest_min);
  const auto one_open =
      Planner(land.ground(), request, {patch(1, land.at.at('B'), 9), patch(2, land.at.at('A'), 1)}, 1)
          .solve(request);
  ASSERT_EQ(one_open.walks.size(), 1u);
  ASSERT_EQ(one_open.walks[0].stops.size(), 1u);
  EXPECT_EQ(one_open.walks[0].stops[0].patch, 2);
}

TEST(Planner, RefusesAStartThatNobodyCanStandOn) {
  const Land land = drawn({"A..#...", "...#.B.", "...#..."});
  const auto& g = land.wall.georef;
  const auto text = [&](const WalkRequest& request) -> std::string {
    try {
      Planner(land.ground(), request, {patch(1, land.at.at('A'), 3)}, 1);
    } catch (const Error& error) {
      EXPECT_EQ(error.code(), ErrorCode::bad_value);
      return error.full_text();
    }
    return "accepted";
  };
  EXPECT_THAT(text(request_from({g.x_of(3), g.y_of(1)}, 60)),
              testing::AllOf(HasSubstr("the start"), HasSubstr("closed land")));
  EXPECT_THAT(text(request_from({g.left_m - 50, g.y_of(1)}, 60)),
              testing::AllOf(HasSubstr("the start"), HasSubstr("outside the ground")));
  WalkRequest bad_end = request_from(land.at.at('A'), 60);
  bad_end.end = earth::PlanePoint{g.left_m, g.top_m + 1};
  EXPECT_THAT(text(bad_end), testing::AllOf(HasSubstr("the end"), HasSubstr("outside the ground")));
  WalkRequest bad_width = request_from(land.at.at('A'), 60);
  bad_width.sweep_width_m = 0;
  EXPECT_THAT(text(bad_width), HasSubstr("sweep width"));
}

}  // namespace
}  // namespace stumpwise::walk
