// Degree-days: single sine of Baskerville & Emin 1969 and its kin, numbers from two public degree-day test files; soil temperature:
// Katterer & Andren 2009, equations from the authors' group's package, numbers recomputed. See the project's table of check values.
#include <gtest/gtest.h>

#include "stumpwise/weather/degree_days.h"
#include "stumpwise/weather/soil.h"

namespace stumpwise::weather {
namespace {

TEST(DegreeDays, SingleSine) {
  EXPECT_NEAR(single_sine(34, 60, 50), 2.749, 1e-3);
  EXPECT_NEAR(single_sine(7, 14, 12), 0.468, 1e-3);
  EXPECT_NEAR(single_sine_cut(13, 40, 12, 33), 12.944, 1e-3);
  EXPECT_NEAR(single_sine_cut(7, 40, 12, 33), 10.940, 1e-3);
  EXPECT_NEAR(single_sine_cut(35, 40, 12, 33), 21, 1e-9);
  EXPECT_NEAR(single_sine_cut(13, 14, 12, 33), 1.5, 1e-9);
  EXPECT_NEAR(single_sine_cut(7, 10, 12, 33), 0, 1e-9);
  EXPECT_NEAR(single_sine(5, 25, 10), 6.089978, 1e-6);
  EXPECT_NEAR(single_sine(0, 20, 10), 3.183099, 1e-6);
}

TEST(DegreeDays, OtherRules) {
  EXPECT_NEAR(single_triangle(7, 14, 12), 0.285714285714, 1e-9);
  EXPECT_EQ(simple_average(64, 53), 11);
  EXPECT_NEAR(four_case(2, 18, 5.5), 5.375, 1e-12);
}

TEST(SoilTemperature, KattererAndren) {
  EXPECT_NEAR(surface_degc(15, 2), 15.5630, 1e-4);
  EXPECT_NEAR(soil_gain(250, 2), 0.143759, 1e-6);
  double soil = next_soil_degc(10, 15, 250, 2);
  EXPECT_NEAR(soil, 10.79973, 1e-5);
  soil = next_soil_degc(soil, 18, 250, 2);
  EXPECT_NEAR(soil, 11.93196, 1e-5);
  EXPECT_NEAR(next_soil_degc(soil, 12, 250, 2), 12.00649, 1e-5);
  EXPECT_NEAR(next_soil_degc(1, -5, 250, 0), 0.611891, 1e-6);
  EXPECT_NEAR(next_soil_degc(0, 10, 200, 0), 2.259684, 1e-6);
}

TEST(SoilTemperature, DampingDepth) {
  EXPECT_NEAR(damping_depth_m(5e-7, 1), 0.117265, 1e-6);
  EXPECT_NEAR(damping_depth_m(5e-7, 365), 2.240337, 1e-6);
}

}  // namespace
}  // namespace stumpwise::weather
