// One-day steps: what goes in comes out, and more rain is never less water.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "stumpwise/weather/log_moisture.h"
#include "stumpwise/weather/snow.h"
#include "stumpwise/weather/soil_water.h"

namespace stumpwise::weather {
namespace {

double tenths(int low, int high) {
  return *rc::gen::inRange(low, high) / 10.0;
}

RC_GTEST_PROP(Snow, KeepsItsWater, ()) {
  const double before = tenths(0, 5000), precip = tenths(0, 1000), t = tenths(-300, 300);
  const SnowStep step = next_snow(before, precip, t);
  RC_ASSERT(std::abs(step.snow_mm + step.melt_mm + step.rain_mm - before - precip) < 1e-9);
  RC_ASSERT(step.snow_mm >= 0 && step.melt_mm >= 0 && step.rain_mm >= 0);
  if (t <= 0) RC_ASSERT(step.melt_mm == 0 && step.rain_mm == 0);
}

TEST(Snow, RainAndSnowMeetAtOneDegree) {
  EXPECT_EQ(snow_share(0), 1);
  EXPECT_EQ(snow_share(1), 0.5);
  EXPECT_EQ(snow_share(2), 0);
  EXPECT_NEAR(next_snow(100, 0, 4).melt_mm, 9.68, 1e-9);
  EXPECT_NEAR(next_snow(5, 0, 4).melt_mm, 5, 1e-9);
}

RC_GTEST_PROP(SoilWater, BalanceCloses, ()) {
  const double total = tenths(100, 3000), readily = total * tenths(1, 9),
               before = total * *rc::gen::inRange(0, 1001) / 1000.0;
  const double rain = tenths(0, 2000), demand = tenths(0, 120);
  const SoilWaterStep step = next_soil_water(before, rain, demand, total, readily);
  RC_ASSERT(std::abs(step.depletion_mm - (before - rain + step.taken_mm + step.drained_mm)) < 1e-9);
  RC_ASSERT(step.depletion_mm >= 0 && step.depletion_mm <= total);
  RC_ASSERT(step.taken_mm >= 0 && step.taken_mm <= demand + 1e-12);
  RC_ASSERT(step.drained_mm == 0 || step.depletion_mm == 0);
}

TEST(SoilWater, NothingIsTakenFromAnEmptyStore) {
  const SoilWaterStep step = next_soil_water(100, 0, 6, 100, 50);
  EXPECT_EQ(step.taken_mm, 0);
  EXPECT_EQ(step.depletion_mm, 100);
}

RC_GTEST_PROP(LogMoisture, StaysInRangeAndFollowsRainAndDryness, ()) {
  const double m = *rc::gen::inRange(0, 1001) / 1000.0, rain = tenths(0, 800), et0 = tenths(0, 90),
               tau = *rc::gen::element(100.0, 1000.0);
  const double next = next_log_moisture(m, rain, et0, tau);
  RC_ASSERT(next >= 0 && next <= 1);
  RC_ASSERT(next_log_moisture(m, rain + 1, et0, tau) >= next);
  RC_ASSERT(next_log_moisture(m, rain, et0 + 1, tau) <= next);
}

TEST(LogMoisture, LagIsTheTimeConstant) {
  // Dry air of ET0 5 mm: the boundary is 0.15 + 0.5 exp(-2.5). After tau hours 63 % of the way is made.
  const double boundary = 0.15 + 0.5 * std::exp(-2.5);
  for (const double tau_days : {5.0, 40.0}) {
    double m = 0.9;
    for (int day = 0; day < static_cast<int>(tau_days); ++day) m = next_log_moisture(m, 0, 5, tau_days * 24);
    EXPECT_NEAR((m - boundary) / (0.9 - boundary), std::exp(-1), 1e-9);
  }
}

TEST(LogMoisture, ThinWoodDriesAndWetsFaster) {
  EXPECT_LT(next_log_moisture(0.8, 0, 4, 100), next_log_moisture(0.8, 0, 4, 1000));
  EXPECT_GT(next_log_moisture(0.3, 15, 1, 100), next_log_moisture(0.3, 15, 1, 1000));
}

}  // namespace
}  // namespace stumpwise::weather
