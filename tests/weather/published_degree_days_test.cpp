// Degree-days: T23 and 3.1 to 3.7 of the project's list of check values. Formula: Baskerville & Emin 1969,
// Ecology 50:514; numbers marked V were seen in two public test files.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "stumpwise/weather/degree_days.h"

namespace stumpwise::weather {
namespace {

TEST(PublishedDegreeDays, SingleSine) {
  EXPECT_NEAR(single_sine(34, 60, 50), 2.7487, 5e-4);                // 3.1, V 2.749, degF
  EXPECT_NEAR(single_sine(7, 14, 12), 0.46806, 5e-6);                // 3.2, V 0.47
  EXPECT_NEAR(single_sine(5, 25, 10), 6.089978, 1e-6);               // 3.5, R
  EXPECT_NEAR(single_sine(0, 20, 10), 10 / std::numbers::pi, 1e-6);  // 3.5, R
}

TEST(PublishedDegreeDays, HorizontalCutOff) {
  EXPECT_NEAR(single_sine_cut(13, 40, 12, 33), 12.9443, 5e-4);  // 3.3, V 12.94
  EXPECT_NEAR(single_sine_cut(7, 40, 12, 33), 10.9397, 5e-4);   // V 10.94
  EXPECT_NEAR(single_sine_cut(35, 40, 12, 33), 21, 1e-9);       // R; not the 5 of another cut-off rule
  EXPECT_NEAR(single_sine_cut(13, 14, 12, 33), 1.5, 1e-9);      // V
  EXPECT_EQ(single_sine_cut(7, 10, 12, 33), 0);                 // V
}

TEST(PublishedDegreeDays, TriangleAverageAndFourCases) {
  EXPECT_NEAR(single_triangle(7, 14, 12), 2.0 / 7, 1e-9);  // 3.4, V 0.29
  EXPECT_EQ(simple_average(64, 53), 11);                   // 3.6, V, University of California IPM, degF
  EXPECT_EQ(simple_average(50, 53), 0);
  EXPECT_EQ(four_case(2, 18, 5.5), 5.375);  // 3.7, rule V (Met Eireann), number R
  EXPECT_EQ(four_case(6, 18, 5.5), 6.5);
  EXPECT_EQ(four_case(-6, 10, 5.5), 1.125);
  EXPECT_EQ(four_case(-6, 5, 5.5), 0);
}

TEST(DegreeDays, DayWithoutRange) {
  EXPECT_EQ(single_sine(8, 8, 5), 3);
  EXPECT_EQ(single_sine(5, 5, 5), 0);
  EXPECT_EQ(single_sine(2, 2, 5), 0);
  EXPECT_EQ(single_triangle(8, 8, 5), 3);
}

double day_by_hand(double tmin, double tmax, double threshold, double upper) {
  constexpr int kSteps = 20000;
  double sum = 0;
  for (int i = 0; i < kSteps; ++i) {
    const double t =
        (tmin + tmax) / 2 + (tmax - tmin) / 2 * std::sin(2 * std::numbers::pi * (i + 0.5) / kSteps);
    sum += std::max(0.0, std::min(t, upper) - threshold);
  }
  return sum / kSteps;
}

RC_GTEST_PROP(DegreeDaysProperty, SineIsTheIntegralOfTheDay, ()) {
  const double tmin = *rc::gen::inRange(-200, 300) / 10.0, range = *rc::gen::inRange(0, 250) / 10.0;
  const double threshold = *rc::gen::inRange(-50, 200) / 10.0,
               upper = threshold + *rc::gen::inRange(1, 200) / 10.0;
  RC_ASSERT(std::abs(single_sine_cut(tmin, tmin + range, threshold, upper) -
                     day_by_hand(tmin, tmin + range, threshold, upper)) < 1e-3);
}

RC_GTEST_PROP(DegreeDaysProperty, WarmerIsNeverLess, ()) {
  const double tmin = *rc::gen::inRange(-200, 300) / 10.0, range = *rc::gen::inRange(0, 250) / 10.0,
               warmer = *rc::gen::inRange(0, 50) / 10.0;
  for (auto rule : {single_sine, single_triangle, four_case})
    RC_ASSERT(rule(tmin + warmer, tmin + range + warmer, 5) >= rule(tmin, tmin + range, 5) - 1e-9);
}

}  // namespace
}  // namespace stumpwise::weather
