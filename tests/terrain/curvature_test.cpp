#include "stumpwise/terrain/curvature.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "stumpwise/raster/file.h"

namespace stumpwise::terrain {
namespace {

constexpr double kCell_m = 10;

/// Heights of a surface given in metres east and north of the middle cell.
template <class Height>
raster::Grid surface(int cols, int rows, Height height) {
  raster::Grid grid({500000, 5'100'000, kCell_m, cols, rows, 32633}, raster::Quantity::elevation_m);
  for (int row = 0; row < rows; ++row)
    for (int col = 0; col < cols; ++col)
      grid.at(col, row) = static_cast<float>(height((col - cols / 2) * kCell_m, (rows / 2 - row) * kCell_m));
  return grid;
}

double slope_of(const Bend& b) {
  return std::atan(std::hypot(b.g, b.h)) * 180 / M_PI;
}

// check-values.md 5.5: the window of T11 with the coefficients of Zevenbergen & Thorne 1987.
TEST(Curvature, CoefficientsOfTheHillshadeWindow) {
  const double z[9] = {2450, 2461, 2483, 2452, 2461, 2483, 2447, 2455, 2477};
  const Bend b = bend(z, 5);
  EXPECT_NEAR(b.g, 3.1, 1e-6);
  EXPECT_NEAR(b.h, 0.6, 1e-6);
  EXPECT_NEAR(b.d_per_m, 0.26, 1e-6);
  EXPECT_NEAR(b.e_per_m, -0.12, 1e-6);
  EXPECT_NEAR(b.f_per_m, 0.03, 1e-6);
  EXPECT_NEAR(slope_of(b), 72.426840, 1e-6);
}

// check-values.md 5.6.
TEST(Curvature, CoefficientsOfTheSecondWindow) {
  const double z[9] = {42, 45, 47, 40, 44, 49, 44, 48, 52};
  const Bend b = bend(z, 10);
  EXPECT_NEAR(b.g, 0.45, 1e-6);
  EXPECT_NEAR(b.h, -0.15, 1e-6);
  EXPECT_NEAR(slope_of(b), 25.376934, 1e-6);
}

// The window's own surface is a quadratic, so the second derivatives along and across the slope come out
// exactly.
RC_GTEST_PROP(Curvature, IsTheSecondDerivativeOfAQuadratic, ()) {
  const auto part = [] { return *rc::gen::inRange(-100, 101) / 1000.0; };
  const double d = part() / 10, e = part() / 10, f = part() / 10, g = part() + 0.2, h = part();
  double z[9];
  for (int k = 0; k < 9; ++k) {
    const double x = (k % 3 - 1) * kCell_m, y = (1 - k / 3) * kCell_m;
    z[k] = 300 + d * x * x + e * y * y + f * x * y + g * x + h * y;
  }
  const double length = std::hypot(g, h), east = g / length, north = h / length;
  const double along = 2 * d * east * east + 2 * e * north * north + 2 * f * east * north;
  const double across = 2 * d * north * north + 2 * e * east * east - 2 * f * east * north;
  RC_ASSERT(std::abs(profile_curvature_per_m(bend(z, kCell_m)) + along) < 1e-9);
  RC_ASSERT(std::abs(plan_curvature_per_m(bend(z, kCell_m)) - across) < 1e-9);
}

TEST(Curvature, AHillBulgesAndSpreadsWaterAndAHollowGathersIt) {
  const auto hill = surface(41, 41, [](double x, double y) { return 500 - 0.002 * (x * x + y * y); });
  const Curvature on_hill = curvature(hill, 2);
  EXPECT_NEAR(on_hill.profile_per_m.at(30, 25), 0.004, 1e-5);
  EXPECT_NEAR(on_hill.plan_per_m.at(30, 25), -0.004, 1e-5);
  const auto hollow = surface(41, 41, [](double x, double y) { return 500 + 0.002 * (x * x + y * y); });
  EXPECT_GT(curvature(hollow, 1).plan_per_m.at(30, 25), 0);
}

TEST(Curvature, APlaneHasNoneUpToItsCornersAndHolesStayHoles) {
  auto plane = surface(9, 7, [](double x, double y) { return 100 + 0.25 * x - 0.5 * y; });
  plane.at(4, 3) = std::nanf("");
  const Curvature none = curvature(plane, 1);
  for (int row = 0; row < 7; ++row)
    for (int col = 0; col < 9; ++col) {
      if (col == 4 && row == 3) {
        EXPECT_TRUE(std::isnan(none.plan_per_m.at(col, row)));
        continue;
      }
      EXPECT_NEAR(none.plan_per_m.at(col, row), 0, 1e-6);
      EXPECT_NEAR(none.profile_per_m.at(col, row), 0, 1e-6);
    }
}

TEST(Curvature, IsTheSameForAnyNumberOfThreads) {
  const auto land =
      surface(60, 50, [](double x, double y) { return 40 * std::sin(x / 90) * std::cos(y / 70); });
  EXPECT_EQ(curvature(land, 1).plan_per_m.values, curvature(land, 4).plan_per_m.values);
  EXPECT_EQ(position_3x3(land, 1).values, position_3x3(land, 4).values);
}

TEST(Position3x3, LeavesTheCellItselfOut) {
  auto land = surface(5, 5, [](double x, double) { return 100 + x; });
  EXPECT_NEAR(position_3x3(land, 1).at(2, 2), 0, 1e-5);
  land.at(2, 2) += 8;
  EXPECT_NEAR(position_3x3(land, 1).at(2, 2), 8, 1e-5);
  EXPECT_NEAR(position_3x3(land, 1).at(1, 2), -1, 1e-5);
  EXPECT_NEAR(position_3x3(land, 1).at(0, 0), -20.0 / 3, 1e-5);  // three neighbours: 0, 10, 10 above it
}

// A real relief (southern Ecuador, 10 m) with the curvatures that another program, SAGA GIS, made from the
// same heights: band 2 plan, band 3 profile (README of the shared terrain data). It gives the curvature of a
// line, ours divided by (1 + s2)^1.5 along the slope and by s along the contour, and counts plan curvature
// positive where water spreads.
TEST(Curvature, IsWhatAnotherProgramMadeOfARealRelief) {
  const char* named = std::getenv("STUMPWISE_SHARED");
  std::filesystem::path data = named ? named : std::filesystem::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
  if (!std::filesystem::exists(data / "terrain")) data /= "data";
  const auto file = data / "terrain" / "ta.tif";
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "shared data are absent";
  const raster::Grid dem = raster::read_grid(file, 4), plan = raster::read_grid(file, 2),
                     profile = raster::read_grid(file, 3);
  const Curvature ours = curvature(dem, 2);
  int compared = 0;
  for (int row = 1; row + 1 < dem.georef.rows; ++row)
    for (int col = 1; col + 1 < dem.georef.cols; ++col) {
      double z[9];
      for (int k = 0; k < 9; ++k) z[k] = dem.at(col + k % 3 - 1, row + k / 3 - 1);
      const Bend b = bend(z, dem.georef.cell_m);
      const double s = std::hypot(b.g, b.h);
      if (!(s > 0.05) || std::isnan(plan.at(col, row)) || std::isnan(profile.at(col, row))) continue;
      ASSERT_NEAR(-ours.plan_per_m.at(col, row) / s, plan.at(col, row),
                  1e-6 + 1e-5 * std::abs(plan.at(col, row)));
      ASSERT_NEAR(ours.profile_per_m.at(col, row) / std::pow(1 + s * s, 1.5), profile.at(col, row), 1e-6);
      ++compared;
    }
  EXPECT_GT(compared, 100'000);
}

}  // namespace
}  // namespace stumpwise::terrain
