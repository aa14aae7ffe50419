#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <queue>

#include "scene.h"
#include "stumpwise/base/error.h"

namespace stumpwise::walk {
namespace {

using namespace scene;
using testing::HasSubstr;

bool passes(const std::vector<earth::PlanePoint>& line, const earth::PlanePoint& place, double within_m) {
  for (const auto& point : densify(line, 1))
    if (straight_m(point, place) <= within_m) return true;
  return false;
}

TEST(TravelField, CrossesARiverByItsOnlyBridge) {
  const Land land = drawn({
      "....................",
      ".A..................",
      "....................",
      "###############.####",
      "###############B####",
      "###############.####",
      "....................",
      ".C..................",
      "....................",
  });
  const TravelField field(land.ground(), land.at.at('A'), false, 600);
  const auto path = field.path(land.at.at('C'));
  ASSERT_GE(path.size(), 2u);
  EXPECT_EQ(path.front(), land.at.at('A'));
  EXPECT_EQ(path.back(), land.at.at('C'));
  EXPECT_TRUE(passes(path, land.at.at('B'), 5));
  EXPECT_TRUE(keeps_to_open_land(path, land));
  EXPECT_GT(line_length_m(path), 280);
}

TEST(TravelField, FindsNoWayWithoutABridgeNorBetweenCorners) {
  const Land shut = drawn({"..A..", ".....", "#####", ".....", "..C.."});
  EXPECT_EQ(TravelField(shut.ground(), shut.at.at('A'), false, 600).minutes(shut.at.at('C')),
            std::numeric_limits<double>::infinity());
  EXPECT_TRUE(TravelField(shut.ground(), shut.at.at('A'), false, 600).path(shut.at.at('C')).empty());
  const Land corner = drawn({"A.#", ".#.", "#.C"});
  EXPECT_EQ(TravelField(corner.ground(), corner.at.at('A'), false, 600).minutes(corner.at.at('C')),
            std::numeric_limits<double>::infinity());
}

// Large land is taken in blocks; a bridge one cell wide must not fall between them.
TEST(TravelField, FindsANarrowBridgeOnLargeLand) {
  Land land = flat(700, 500);
  for (int col = 0; col < 700; ++col)
    for (int row = 240; row < 243; ++row) land.wall.at(col, row) = 1;
  const auto& g = land.wall.georef;
  const earth::PlanePoint north{g.x_of(351), g.y_of(200)}, south{g.x_of(351), g.y_of(290)};
  EXPECT_EQ(TravelField(land.ground(), north, false, 6000).minutes(south),
            std::numeric_limits<double>::infinity());
  for (int bridge : {400, 401, 402}) {
    Land bridged = land;
    for (int row = 240; row < 243; ++row) bridged.wall.at(bridge, row) = 0;
    const TravelField field(bridged.ground(), north, false, 6000);
    const auto path = field.path(south);
    ASSERT_FALSE(path.empty());
    EXPECT_TRUE(passes(path, {g.x_of(bridge), g.y_of(241)}, 5));
    EXPECT_TRUE(keeps_to_open_land(path, bridged));
    const double shortest_m = straight_m(north, {g.x_of(bridge), g.y_of(240)}) + 20 +
                              straight_m({g.x_of(bridge), g.y_of(242)}, south);
    EXPECT_LT(line_length_m(path), 1.02 * shortest_m);
  }
}

TEST(TravelField, GoingUpTakesLongerThanComingDown) {
  Land land = flat(60, 5);
  for (int row = 0; row < 5; ++row)
    for (int col = 0; col < 60; ++col) land.elevation_m.at(col, row) = static_cast<float>(300 + 2 * col);
  const auto& g = land.wall.georef;
  const earth::PlanePoint low{g.x_of(5), g.y_of(2)}, high{g.x_of(55), g.y_of(2)};
  const double up = TravelField(land.ground(), low, false, 600).minutes(high);
  const double down = TravelField(land.ground(), high, false, 600).minutes(low);
  EXPECT_NEAR(up, 500 / (tobler_m_per_min(0.2) * 0.6), 0.01);
  EXPECT_NEAR(down, 500 / (tobler_m_per_min(-0.2) * 0.6), 0.01);
  // Towards a place is the other direction of from it.
  EXPECT_NEAR(TravelField(land.ground(), low, true, 600).minutes(high), down, 0.01);
  EXPECT_NEAR(walk_minutes(TravelField(land.ground(), low, true, 600).path(high), land.elevation_m), down,
              0.01);
}

TEST(TravelField, GoesRoundAHillWhereThatIsQuicker) {
  Land land = flat(81, 81);
  const auto& g = land.wall.georef;
  for (int row = 0; row < 81; ++row)
    for (int col = 0; col < 81; ++col)
      land.elevation_m.at(col, row) = static_cast<float>(
          300 + 150 * std::exp(-((col - 40) * (col - 40) + (row - 40) * (row - 40)) / 150.0));
  const earth::PlanePoint west{g.x_of(2), g.y_of(40)}, east{g.x_of(78), g.y_of(40)};
  const auto path = TravelField(land.ground(), west, false, 600).path(east);
  EXPECT_LT(walk_minutes(path, land.elevation_m), 0.8 * walk_minutes({west, east}, land.elevation_m));
  EXPECT_GT(line_length_m(path), 1.05 * straight_m(west, east));
}

// Sixteen directions: at most 1 / cos(half the widest gap) = 2.75 % too long on open flat land; pulled
// straight, below 1 %.
RC_GTEST_PROP(TravelField, OnFlatLandIsNearlyTheStraightLine, ()) {
  static const Land land = flat(120, 90);
  static const auto& g = land.wall.georef;
  static const TravelField from_corner(land.ground(), {g.x_of(3), g.y_of(4)}, false, 600);
  const earth::PlanePoint place{g.x_of(3), g.y_of(4)};
  const earth::PlanePoint point{g.x_of(*rc::gen::inRange(0, 120)), g.y_of(*rc::gen::inRange(0, 90))};
  const double straight = straight_m(place, point) * flat_min_per_m();
  const double minutes = from_corner.minutes(point);
  RC_ASSERT(minutes >= straight - 1e-4);
  RC_ASSERT(minutes <= 1.0275 * straight + 1e-4);
  const double pulled = walk_minutes(from_corner.path(point), land.elevation_m);
  RC_ASSERT(pulled <= 1.01 * straight + 1e-6);
}

// A slower twin: Dijkstra over the same sixteen directions, every cell a node, written plainly.
double plain_minutes(const Land& land, int from_col, int from_row, int to_col, int to_row) {
  const auto& g = land.wall.georef;
  const int ring[16][2] = {{1, 0}, {0, 1},  {-1, 0}, {0, -1},  {1, 1}, {1, -1}, {-1, 1}, {-1, -1},
                           {2, 1}, {2, -1}, {-2, 1}, {-2, -1}, {1, 2}, {1, -2}, {-1, 2}, {-1, -2}};
  std::vector<double> best(g.size(), std::numeric_limits<double>::infinity());
  std::priority_queue<std::pair<double, std::size_t>, std::vector<std::pair<double, std::size_t>>,
                      std::greater<>>
      queue;
  best[g.index(from_col, from_row)] = 0;
  queue.push({0, g.index(from_col, from_row)});
  while (!queue.empty()) {
    const auto [minutes, cell] = queue.top();
    queue.pop();
    if (minutes > best[cell]) continue;
    const int col = static_cast<int>(cell) % g.cols, row = static_cast<int>(cell) / g.cols;
    for (const auto& step : ring) {
      const int c = col + step[0], r = row + step[1];
      if (!g.inside(c, r)) continue;
      const std::vector<earth::PlanePoint> edge{{g.x_of(col), g.y_of(row)}, {g.x_of(c), g.y_of(r)}};
      bool open = true;
      // Both side cells of a diagonal step, both middle cells of a knight's step.
      std::vector<std::pair<int, int>> touched{{c, r}};
      if (std::abs(step[0]) + std::abs(step[1]) == 2) touched.insert(touched.end(), {{c, row}, {col, r}});
      if (std::abs(step[0]) == 2)
        touched.insert(touched.end(), {{col + step[0] / 2, row}, {col + step[0] / 2, r}});
      if (std::abs(step[1]) == 2)
        touched.insert(touched.end(), {{col, row + step[1] / 2}, {c, row + step[1] / 2}});
      for (const auto& [tc, tr] : touched) open = open && land.wall.at(tc, tr) == 0;
      if (!open) continue;
      const double next = minutes + walk_minutes(edge, land.elevation_m);
      if (next < best[g.index(c, r)]) {
        best[g.index(c, r)] = next;
        queue.push({next, g.index(c, r)});
      }
    }
  }
  return best[g.index(to_col, to_row)];
}

RC_GTEST_PROP(TravelField, AgreesWithAPlainTwin, ()) {
  Land land = wild(*rc::gen::inRange(0, 100000), 24, 18, 12, 0.15, 0);
  const auto& g = land.wall.georef;
  land.wall.at(1, 1) = land.wall.at(22, 16) = 0;
  const earth::PlanePoint a{g.x_of(1), g.y_of(1)}, b{g.x_of(22), g.y_of(16)};
  const TravelField field(land.ground(), a, false, 6000);
  const double plain = plain_minutes(land, 1, 1, 22, 16), minutes = field.minutes(b);
  if (!std::isfinite(plain)) {
    RC_ASSERT(!std::isfinite(minutes));
    return;
  }
  RC_ASSERT(std::abs(minutes - plain) < 1e-4 * plain + 1e-6);
  const auto path = field.path(b);
  RC_ASSERT(path.front() == a && path.back() == b);
  RC_ASSERT(keeps_to_open_land(path, land));
  RC_ASSERT(walk_minutes(path, land.elevation_m) <= minutes + 1e-9);
}

// Land of 168 000 cells is taken in blocks of four: the twin, which knows every cell, may be little better.
TEST(TravelField, InBlocksLosesLittleAgainstThePlainTwin) {
  Land land = wild(17, 420, 400, 10, 0.004, 0);
  base::Random random(3);
  for (int hill = 0; hill < 25; ++hill) {
    const int at_col = random.integer(0, 419), at_row = random.integer(0, 399);
    const double radius = random.uniform(15, 60), height_m = random.uniform(-60, 90);
    for (int row = 0; row < 400; ++row)
      for (int col = 0; col < 420; ++col)
        land.elevation_m.at(col, row) += static_cast<float>(
            height_m * std::exp(-((col - at_col) * (col - at_col) + (row - at_row) * (row - at_row)) /
                                (radius * radius)));
  }
  land.wall.at(10, 10) = land.wall.at(400, 370) = 0;
  const auto& g = land.wall.georef;
  const earth::PlanePoint a{g.x_of(10), g.y_of(10)}, b{g.x_of(400), g.y_of(370)};
  const double plain = plain_minutes(land, 10, 10, 400, 370);
  ASSERT_TRUE(std::isfinite(plain));
  const TravelField field(land.ground(), a, false, 6000);
  EXPECT_LT(field.minutes(b), 1.05 * plain);
  const auto path = field.path(b);
  EXPECT_TRUE(keeps_to_open_land(path, land));
  EXPECT_LT(walk_minutes(path, land.elevation_m), 1.015 * plain);
  EXPECT_GT(walk_minutes(path, land.elevation_m), 0.93 * plain);
}

TEST(TravelField, StopsAtItsBound) {
  const Land land = flat(100, 10);
  const auto& g = land.wall.georef;
  const TravelField field(land.ground(), {g.x_of(1), g.y_of(5)}, false, 5);
  EXPECT_TRUE(std::isfinite(field.minutes({g.x_of(20), g.y_of(5)})));
  EXPECT_FALSE(std::isfinite(field.minutes({g.x_of(90), g.y_of(5)})));
  EXPECT_EQ(field.minutes({g.x_of(1), g.y_of(5)}), 0);
}

TEST(TravelField, NeverLeadsOverGroundWithoutElevation) {
  const Land land = drawn({
      "A......????.....C",
      ".......????......",
      ".......????......",
      ".................",
      ".................",
      ".................",
  });
  const auto path = TravelField(land.ground(), land.at.at('A'), false, 600).path(land.at.at('C'));
  ASSERT_FALSE(path.empty());
  EXPECT_TRUE(keeps_to_open_land(path, land));
}

TEST(TravelField, SaysWhyAPlaceCannotBeLeft) {
  const Land land = drawn({"A.#", "..#", "..#"});
  const auto& g = land.wall.georef;
  try {
    TravelField(land.ground(), {g.x_of(2), g.y_of(0)}, false, 60);
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::bad_value);
    EXPECT_THAT(error.full_text(), HasSubstr("closed land"));
  }
  try {
    TravelField(land.ground(), {g.left_m - 1, g.y_of(0)}, false, 60);
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::bad_value);
    EXPECT_THAT(error.full_text(), HasSubstr("outside the ground"));
  }
}

TEST(TravelField, TakesPlacesOnTheVeryEdge) {
  const Land land = flat(30, 30);
  const auto& g = land.wall.georef;
  const earth::PlanePoint corner{g.left_m, g.top_m}, inner{g.x_of(20), g.y_of(20)};
  EXPECT_NEAR(TravelField(land.ground(), corner, false, 600).minutes(inner),
              straight_m(corner, inner) * flat_min_per_m(),
              0.03 * straight_m(corner, inner) * flat_min_per_m());
}

}  // namespace
}  // namespace stumpwise::walk
