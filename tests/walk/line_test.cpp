#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "scene.h"
#include "stumpwise/base/error.h"

namespace stumpwise::walk {
namespace {

using namespace scene;

/// Land that rises to the east by `slope`.
Land ramp(int cols, int rows, double slope) {
  Land land = flat(cols, rows);
  for (int row = 0; row < rows; ++row)
    for (int col = 0; col < cols; ++col)
      land.elevation_m.at(col, row) = static_cast<float>(300 + slope * 10 * col);
  return land;
}

// Scenario H3: 3.0 km out off-trail with 200 m of climb: outbound 75 +- 2 min, return 53 +- 2.
TEST(WalkMinutes, ThreeKilometresOutAndTwoHundredMetresUp) {
  const Land land = ramp(320, 3, 200.0 / 3000);
  const auto& g = land.wall.georef;
  const earth::PlanePoint low{g.x_of(5), g.y_of(1)}, high{g.x_of(5) + 3000, g.y_of(1)};
  EXPECT_NEAR(walk_minutes({low, high}, land.elevation_m), 75, 2);
  EXPECT_NEAR(walk_minutes({high, low}, land.elevation_m), 53, 2);
  EXPECT_NEAR(climb_m({low, high}, land.elevation_m), 200, 0.01);
  EXPECT_NEAR(climb_m({high, low}, land.elevation_m), 0, 0.01);
  EXPECT_NEAR(line_length_m({low, high}), 3000, 1e-9);
  EXPECT_NEAR(walk_minutes({low, high}, land.elevation_m, 1.0) / walk_minutes({low, high}, land.elevation_m),
              0.6, 1e-12);
}

TEST(WalkMinutes, IsRefusedWhereNoElevationIsKnown) {
  Land land = flat(20, 20);
  const auto& g = land.wall.georef;
  const earth::PlanePoint inside{g.x_of(2), g.y_of(2)};
  EXPECT_THROW(walk_minutes({inside, {g.left_m - 5, g.y_of(2)}}, land.elevation_m), Error);
  land.elevation_m.at(10, 2) = std::nanf("");
  EXPECT_THROW(walk_minutes({inside, {g.x_of(18), g.y_of(2)}}, land.elevation_m), Error);
  EXPECT_EQ(walk_minutes({inside}, land.elevation_m), 0);
  EXPECT_EQ(walk_minutes({}, land.elevation_m), 0);
}

RC_GTEST_PROP(Densify, KeepsTheLineAndItsMinutes, ()) {
  const Land land = wild(*rc::gen::inRange(0, 1000), 30, 30, 20, 0, 0);
  base::Random random(*rc::gen::inRange(0, 100000));
  const auto& g = land.wall.georef;
  std::vector<earth::PlanePoint> line;
  for (int i = 0; i < 4; ++i)
    line.push_back({random.uniform(g.left_m, g.left_m + 599), random.uniform(g.top_m - 599, g.top_m)});
  const auto dense = densify(line);
  for (std::size_t i = 1; i < dense.size(); ++i) RC_ASSERT(straight_m(dense[i - 1], dense[i]) <= 15.0001);
  RC_ASSERT(std::abs(line_length_m(dense) - line_length_m(line)) < 1e-6);
  const double minutes = walk_minutes(line, land.elevation_m);
  RC_ASSERT(std::abs(walk_minutes(dense, land.elevation_m) - minutes) < 1e-6 * minutes);
  RC_ASSERT(std::abs(checked_minutes(line, land.elevation_m) - minutes) < 0.02 * minutes);
}

TEST(Densify, RefusesAStepOfNothing) {
  EXPECT_THROW(densify({{0, 0}, {10, 0}}, 0), Error);
}

}  // namespace
}  // namespace stumpwise::walk
