// Soil temperature: T24, 4.1, 4.2, 4.4 of the project's list of check values. Equations: Katterer & Andren
// 2009 (V, the authors' group's package); damping depth after Hillel 1982 (V); numbers R. Plausibility: 4.3,
// Jacobs, Heusinkveld & Holtslag 2011 (V).
#include <gtest/gtest.h>

#include <cmath>

#include "stumpwise/weather/soil_temperature.h"

namespace stumpwise::weather {
namespace {

TEST(PublishedSoilTemperature, ChainOfThreeDays) {  // T24
  EXPECT_NEAR(surface_degc(15, 2), 15.5630, 5e-5);
  EXPECT_NEAR(soil_gain(250, 2), 0.143759, 1e-6);
  double soil = next_soil_degc(10, 15, 250, 2);
  EXPECT_NEAR(soil, 10.79973, 1e-5);
  soil = next_soil_degc(soil, 18, 250, 2);
  EXPECT_NEAR(soil, 11.93196, 1e-5);
  soil = next_soil_degc(soil, 12, 250, 2);
  EXPECT_NEAR(soil, 12.00649, 1e-5);
}

TEST(PublishedSoilTemperature, BareGroundAndFrost) {  // 4.1
  EXPECT_NEAR(next_soil_degc(1, -5, 250, 0), 0.611891, 1e-6);
  EXPECT_NEAR(next_soil_degc(0, 10, 200, 0), 2.259684, 1e-6);
}

TEST(PublishedSoilTemperature, DampingDepth) {  // 4.2
  EXPECT_NEAR(damping_depth_m(5e-7, 1), 0.117265, 1e-6);
  EXPECT_NEAR(damping_depth_m(5e-7, 365), 2.240337, 1e-6);
  EXPECT_NEAR(damping_depth_m(5e-7, 365) / damping_depth_m(5e-7, 1), std::sqrt(365.0), 1e-9);
}

TEST(PublishedSoilTemperature,
     MeasuredDampingDepthsAreOfOneSoil) {  // 4.3: 1.80 m and 0.10 m imply these diffusivities
  EXPECT_NEAR(damping_depth_m(3.2e-7, 365), 1.80, 0.09);
  EXPECT_NEAR(damping_depth_m(3.6e-7, 1), 0.10, 0.005);
}

TEST(PublishedSoilTemperature, AttenuationAndLag) {  // 4.4
  const double depth = damping_depth_m(5e-7, 365);
  EXPECT_NEAR(damping_factor(0.1, depth), 0.956345, 1e-5);
  EXPECT_NEAR(damping_factor(1, depth), 0.639952, 1e-5);
  EXPECT_NEAR(damping_lag_days(0.1, depth, 365), 2.593, 1e-3);
  EXPECT_NEAR(damping_lag_days(1, depth, 365), 25.93, 1e-2);
}

}  // namespace
}  // namespace stumpwise::weather
