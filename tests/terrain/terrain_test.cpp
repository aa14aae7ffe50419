#include "stumpwise/terrain/terrain.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "stumpwise/terrain/slope.h"

namespace stumpwise::terrain {
namespace {

using raster::Georef;
using raster::Grid;

Georef cells(int cols, int rows, double cell_m = 10) {
  return {500000, 5'100'000, cell_m, cols, rows, 32633};
}

Grid random_land(int cols, int rows) {
  Grid grid(cells(cols, rows), raster::Quantity::elevation_m);
  for (float& v : grid.values) v = static_cast<float>(*rc::gen::inRange(0, 400)) / 10;
  return grid;
}

TEST(Position, IsZeroOnAPlaneAndHighOnAKnoll) {
  Grid dem(cells(41, 41), raster::Quantity::elevation_m);
  for (int r = 0; r < 41; ++r)
    for (int c = 0; c < 41; ++c) dem.at(c, r) = static_cast<float>(3 * c + 2 * r);
  EXPECT_NEAR(position(dem, 100, 1).at(20, 20), 0, 1e-4);
  dem.at(20, 20) += 5;
  EXPECT_NEAR(position(dem, 100, 1).at(20, 20), 5 - 5.0 / (21 * 21), 1e-4);
}

RC_GTEST_PROP(Position, IsTheValueLessTheMeanOfItsWindow, ()) {
  Grid dem = random_land(9, 8);
  dem.at(4, 4) = std::nanf("");
  const Grid result = position(dem, 20, 2);
  for (int r = 0; r < 8; ++r)
    for (int c = 0; c < 9; ++c) {
      if (c == 4 && r == 4) {
        RC_ASSERT(std::isnan(result.at(c, r)));
        continue;
      }
      double sum = 0;
      int n = 0;
      for (int rr = std::max(0, r - 2); rr <= std::min(7, r + 2); ++rr)
        for (int cc = std::max(0, c - 2); cc <= std::min(8, c + 2); ++cc)
          if (!std::isnan(dem.at(cc, rr))) sum += dem.at(cc, rr), ++n;
      RC_ASSERT(std::abs(result.at(c, r) - (dem.at(c, r) - sum / n)) < 1e-4);
    }
}

RC_GTEST_PROP(Fill, NeverLowersAndLeavesAWayOutOfEveryCell, ()) {
  const Grid dem = random_land(12, 10), filled = fill_depressions(dem);
  for (int r = 0; r < 10; ++r)
    for (int c = 0; c < 12; ++c) {
      RC_ASSERT(filled.at(c, r) >= dem.at(c, r));
      if (c == 0 || r == 0 || c == 11 || r == 9) {
        RC_ASSERT(filled.at(c, r) == dem.at(c, r));
        continue;
      }
      bool lower = false;
      for (int k = 0; k < 9; ++k) lower = lower || filled.at(c + k % 3 - 1, r + k / 3 - 1) < filled.at(c, r);
      RC_ASSERT(lower);
    }
}

TEST(Fill, PitIsFilledToItsSpillPoint) {
  Grid dem(cells(5, 5), raster::Quantity::elevation_m, 10);
  dem.at(2, 2) = 1;
  dem.at(2, 1) = 6;
  dem.at(2, 0) = 4;  // the pit spills over 6
  EXPECT_NEAR(fill_depressions(dem).at(2, 2), 6, 1e-4);
}

RC_GTEST_PROP(Flow, EveryCellDrainsOnceOverTheRim, ()) {
  const Grid filled = fill_depressions(random_land(11, 9)), cells_through = flow_accumulation(filled);
  // What has no lower neighbour is an outlet; together the outlets drain every cell exactly once.
  double out = 0;
  for (int r = 0; r < 9; ++r)
    for (int c = 0; c < 11; ++c) {
      RC_ASSERT(cells_through.at(c, r) >= 1);
      bool lower = false;
      for (int k = 0; k < 9; ++k) {
        const int cc = c + k % 3 - 1, rr = r + k / 3 - 1;
        lower = lower || (filled.georef.inside(cc, rr) && filled.at(cc, rr) < filled.at(c, r));
      }
      if (!lower) out += cells_through.at(c, r);
    }
  RC_ASSERT(out == 99);
}

TEST(Flow, GathersDownASlope) {
  Grid dem(cells(1, 6), raster::Quantity::elevation_m);
  for (int r = 0; r < 6; ++r) dem.at(0, r) = static_cast<float>(60 - 10 * r);
  const Grid flow = flow_accumulation(dem);
  for (int r = 0; r < 6; ++r) EXPECT_EQ(flow.at(0, r), static_cast<float>(r + 1));
}

// check-values.md 5.7 (Beven & Kirkby 1979).
TEST(Wetness, PublishedValues) {
  EXPECT_NEAR(wetness_index(100, 5), 7.041416, 1e-6);
  EXPECT_NEAR(wetness_index(1000, 10), 8.643170, 1e-6);
}

TEST(Wetness, ValleyIsWetterThanItsSides) {
  Grid dem(cells(31, 40), raster::Quantity::elevation_m);
  for (int r = 0; r < 40; ++r)
    for (int c = 0; c < 31; ++c) dem.at(c, r) = static_cast<float>(100 + 2 * std::abs(c - 15) - 0.5 * r);
  const Grid wet = wetness_index(dem, slope_aspect(dem, 1).slope_deg);
  EXPECT_GT(wet.at(15, 35), wet.at(5, 35) + 2);
  EXPECT_GT(wet.at(15, 35), wet.at(15, 5) + 0.5);
}

// check-values.md 5.8: coefficients of McCune & Keon 2002, J. Veg. Sci. 13:603.
TEST(HeatLoad, PublishedValues) {
  const double expected[][6] = {// latitude, slope, aspect, equation 1, 2, 3
                                {40, 30, 225, 0.9806, 0.9955, 1.0530}, {40, 30, 45, 0.3739, 0.4111, 0.5710},
                                {40, 30, 180, 1.0553, 0.9985, 0.9825}, {40, 0, 0, 0.7748, 0.8172, 0.9580},
                                {45, 20, 225, 0.8901, 0.9174, 0.9933}, {45, 20, 45, 0.4309, 0.4715, 0.6636}};
  for (const auto& row : expected)
    for (int equation = 1; equation <= 3; ++equation)
      EXPECT_NEAR(heat_load(equation, row[0], row[1], row[2]), row[2 + equation], 5e-5)
          << row[0] << " " << row[1] << " " << row[2];
}

RC_GTEST_PROP(HeatLoad, IsTheSameOnBothSidesOfTheFoldAndMirroredInTheSouth, ()) {
  const double lat = *rc::gen::inRange(300, 600) / 10.0, slope = *rc::gen::inRange(0, 600) / 10.0,
               off = *rc::gen::inRange(0, 1800) / 10.0;
  for (int equation = 1; equation <= 3; ++equation) {
    const double one = heat_load(equation, lat, slope, 225 + off);
    RC_ASSERT(std::abs(one - heat_load(equation, lat, slope, 225 - off)) < 1e-12);
    RC_ASSERT(std::abs(one - heat_load(equation, -lat, slope, 180 - (225 + off))) < 1e-12);
  }
}

// check-values.md 5.9: heat load at 225 degrees equals direct radiation (the same equation folded about north
// and south, McCune 2007) at 180 degrees.
TEST(HeatLoad, EqualsDirectRadiationTurnedByAnEighth) {
  auto radiation = [](double lat_deg, double slope_deg, double aspect) {
    const double a = (180 - std::abs(aspect - 180)) * M_PI / 180, l = lat_deg * M_PI / 180,
                 s = slope_deg * M_PI / 180;
    return std::exp(-1.467 + 1.582 * std::cos(l) * std::cos(s) -
                    1.5 * std::cos(a) * std::sin(s) * std::sin(l) - 0.262 * std::sin(l) * std::sin(s) +
                    0.607 * std::sin(a) * std::sin(s));
  };
  for (const double turn : {0.0, 30.0, 90.0, 135.0})
    EXPECT_NEAR(heat_load(1, 45, 25, 225 - turn), radiation(45, 25, 180 - turn), 1e-12);
}

// check-values.md 5.10: ranges of validity.
TEST(HeatLoad, RefusesWhatLiesOutsideItsRange) {
  EXPECT_THROW(heat_load(1, 61, 10, 0), Error);
  EXPECT_THROW(heat_load(1, 40, 91, 0), Error);
  EXPECT_THROW(heat_load(2, 40, 61, 0), Error);
  EXPECT_THROW(heat_load(3, 29, 10, 0), Error);
  EXPECT_THROW(heat_load(4, 40, 10, 0), Error);
  EXPECT_NO_THROW(heat_load(1, 40, 89, 0));
}

TEST(HeatLoad, GridUsesTheCellsOwnSlope) {
  Grid slope(cells(2, 1), raster::Quantity::slope_deg, 30),
      aspect(cells(2, 1), raster::Quantity::aspect_deg, 225);
  slope.at(1, 0) = 0;
  aspect.at(1, 0) = std::nanf("");
  const Grid result = heat_load(slope, aspect, 40, 1);
  EXPECT_NEAR(result.at(0, 0), 0.9806, 5e-5);
  EXPECT_NEAR(result.at(1, 0), 0.7748, 5e-5);
}

}  // namespace
}  // namespace stumpwise::terrain
