// Walking and searching: Tobler 1993 (check values T12, 6.1, 6.2), Koopman (T13, 7.1-7.3), and properties on drawn ground.
#include <gtest/gtest.h>

#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/walk/route.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::walk {
namespace {

TEST(Tobler, PublishedSpeeds) {
  auto km_per_h = [](double slope) { return tobler_m_per_min(slope) * 0.06; };
  EXPECT_NEAR(km_per_h(0), 5.036742, 1e-6);
  EXPECT_NEAR(km_per_h(-0.05), 6.0, 1e-6);
  EXPECT_NEAR(km_per_h(0.10), 3.549332, 1e-6);
  EXPECT_NEAR(km_per_h(-0.10), 5.036742, 1e-6);
  EXPECT_NEAR(km_per_h(0.3), 1.762546, 1e-6);
  EXPECT_NEAR(km_per_h(0) * kOffPath, 3.022045, 1e-6);
}

TEST(Koopman, PublishedDetection) {
  for (const auto& [coverage, pod] : {std::pair{0.5, 0.39347}, {1.0, 0.63212}, {2.0, 0.86466}, {3.0, 0.95021}}) EXPECT_NEAR(probability_of_detection(coverage), pod, 1e-5);
  EXPECT_NEAR(expected_finds(1, 10, 2000, 40000), 0.393469, 1e-6);
  // Splitting the effort changes nothing (7.2).
  EXPECT_NEAR(1 - std::pow(1 - probability_of_detection(0.7), 2), probability_of_detection(1.4), 1e-12);
}

TEST(RateToCome, FallsWithCoverageAndRisesWithFinds) {
  EXPECT_NEAR(rate_to_come(3, 1e9, 0, 0, 8, 5000), 3 * 8 / 5000.0, 1e-6);
  EXPECT_LT(rate_to_come(3, 1, 1, 0, 8, 5000), rate_to_come(3, 1, 0.5, 0, 8, 5000));
  EXPECT_GT(rate_to_come(3, 1, 1, 2, 8, 5000), rate_to_come(3, 1, 1, 0, 8, 5000));
}

struct Ground {
  raster::Grid elevation, wall;
  explicit Ground(int n, double slope = 0) : elevation({0, n * 10.0, 10, n, n, 32626}, raster::Quantity::elevation_m, 0), wall(elevation.georef, raster::Quantity::flag, 0) {
    for (int row = 0; row < n; ++row)
      for (int col = 0; col < n; ++col) elevation.at(col, row) = static_cast<float>(slope * 10 * col);
  }
};

TEST(WalkMinutes, ThreeKilometresOffTrailWith200mClimb) {  // scenario H3: 75 and 53 minutes
  Ground ground(320, 200.0 / 3000);
  const earth::PlanePoint a{50, 1605}, b{3050, 1605};
  EXPECT_NEAR(walk_minutes({a, b}, ground.elevation), 75.2, 0.2);
  EXPECT_NEAR(walk_minutes({b, a}, ground.elevation), 53.0, 0.2);
  EXPECT_NEAR(climb_m({a, b}, ground.elevation), 200, 0.1);
  EXPECT_NEAR(line_length_m(densify({a, b})), 3000, 1e-6);
  EXPECT_THROW(walk_minutes({a, {9999, 0}}, ground.elevation), Error);
}

TEST(TravelField, FlatGroundNearEuclid) {
  Ground ground(121);
  const earth::PlanePoint middle{605, 605};
  const TravelField field({&ground.elevation, &ground.wall}, middle, false, 1e9);
  const double per_m = 1 / (tobler_m_per_min(0) * kOffPath);
  for (int row = 5; row < 121; row += 16)
    for (int col = 5; col < 121; col += 16) {
      const earth::PlanePoint p{ground.elevation.georef.x_of(col), ground.elevation.georef.y_of(row)};
      const double straight = std::hypot(p.x_m - 605, p.y_m - 605) * per_m;
      if (straight < 1) continue;
      EXPECT_GE(field.minutes(p), straight * 0.999);
      EXPECT_LE(field.minutes(p), straight * 1.0276);
      EXPECT_LE(walk_minutes(field.path(p), ground.elevation), straight * 1.01);
    }
}

TEST(TravelField, DirectionCountsAndPathsKeepTheirOrder) {
  Ground ground(60, 0.15);
  const earth::PlanePoint low{55, 305}, high{555, 305};
  const TravelField from({&ground.elevation, &ground.wall}, low, false, 1e9), towards({&ground.elevation, &ground.wall}, low, true, 1e9);
  EXPECT_GT(from.minutes(high), towards.minutes(high) * 1.2);
  EXPECT_EQ(from.path(high).front(), low);
  EXPECT_EQ(towards.path(high).front(), high);
  EXPECT_NEAR(walk_minutes(towards.path(high), ground.elevation), towards.minutes(high), 0.03 * towards.minutes(high));
}

TEST(TravelField, OverTheOneBridge) {
  Ground ground(40);
  for (int row = 0; row < 40; ++row) ground.wall.at(20, row) = row == 35 ? 0.0f : 1.0f;  // a river from north to south, bridge near the south
  const earth::PlanePoint west{105, 345}, east{305, 345};
  const TravelField field({&ground.elevation, &ground.wall}, west, false, 1e9);
  const auto path = field.path(east);
  for (const auto& point : densify(path, 2)) EXPECT_LE(ground.wall.value(point.x_m, point.y_m).value_or(1), 0);
  EXPECT_GT(line_length_m(path), 600);
  ground.wall.at(20, 35) = 1;
  const TravelField cut({&ground.elevation, &ground.wall}, west, false, 1e9);
  EXPECT_TRUE(std::isinf(cut.minutes(east)));
  EXPECT_THROW(cut.path(east), Error);
}

TEST(TravelField, StartOutsideOrInAWallIsSaid) {
  Ground ground(20);
  ground.wall.at(5, 5) = 1;
  EXPECT_THROW(TravelField({&ground.elevation, &ground.wall}, {-5, 5}, false, 60), Error);
  EXPECT_THROW(TravelField({&ground.elevation, &ground.wall}, {55, 145}, false, 60), Error);
}

}  // namespace
}  // namespace stumpwise::walk
