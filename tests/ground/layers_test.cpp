#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>

#include "scene.h"
#include "stumpwise/base/error.h"
#include "stumpwise/species/library.h"

namespace stumpwise::ground {
namespace {

using namespace testing_scene;

double z_at(const CovariateField& field, std::size_t cell, Covariate which) {
  std::array<double, kCovariates> z{};
  field.z(cell, z);
  return z[static_cast<std::size_t>(which)];
}

TEST(HostPoints, SoftDisc) {
  Layers l = plain_layers(21, 21, 1);
  // The centre of cell (10, 10); radius 40 m: full to 20 m, half at 40 m, nothing from 60 m on.
  add_host_points(l, {{"ulmus", l.georef.x_of(10), l.georef.y_of(10), 40, false}});
  const raster::Grid& elm = l.host_records.at("Ulmus");
  EXPECT_FLOAT_EQ(elm.at(10, 10), 1);
  EXPECT_FLOAT_EQ(elm.at(12, 10), 1);
  EXPECT_FLOAT_EQ(elm.at(10, 14), 0.5);
  EXPECT_FLOAT_EQ(elm.at(10, 4), 0);
  EXPECT_FLOAT_EQ(elm.at(16, 10), 0);
  EXPECT_TRUE(l.dead_wood_records.values.empty());
}

TEST(HostPoints, TwoJoinAsAUnion) {
  Layers l = plain_layers(21, 21, 1);
  const HostPoint west{"Ulmus", l.georef.x_of(6), l.georef.y_of(10), 40, true};
  HostPoint east = west;
  east.x_m = l.georef.x_of(14);
  add_host_points(l, {west, east});
  EXPECT_NEAR(l.host_records.at("Ulmus").at(10, 10), 0.75, 1e-6);  // 1 - 0.5 * 0.5
  EXPECT_NEAR(l.dead_wood_records.at(10, 10), 0.75, 1e-6);
}

TEST(HostPoints, WhatIsSmallerThanACellStillCounts) {
  Layers l = plain_layers(5, 5, 1);
  // Radius 2 m in the corner of four cells: 12.6 of 100 square metres.
  add_host_points(l, {{"Ulmus", l.georef.left_m + 20, l.georef.top_m - 20, 2, true}});
  double most = 0;
  for (float v : l.host_records.at("Ulmus").values) most = std::max(most, double(v));
  EXPECT_GT(most, 0.05);
  EXPECT_LT(most, 0.13);
}

TEST(HostPoints, FarAwayChangesNothingAndNonsenseIsRefused) {
  Layers l = plain_layers(5, 5, 1);
  add_host_points(l, {{"Ulmus", 9e12, -9e12, 12, false}});
  for (float v : l.host_records.at("Ulmus").values) EXPECT_EQ(v, 0);
  EXPECT_THROW(add_host_points(l, {{"Ulmus", 0, 0, 0, false}}), Error);
  EXPECT_THROW(add_host_points(l, {{" ", 0, 0, 12, false}}), Error);
  EXPECT_THROW(add_host_points(l, {{"Ulmus", std::nan(""), 0, 12, false}}), Error);
}

TEST(CovariateField, HostCoverByHand) {
  const Layers l = plain_layers(3, 3, 2);
  const CovariateField field(l, elm_profile());
  EXPECT_NEAR(field.host_cover(4), 0.5, 1e-12);  // 0.4 * 1 + 0.2 * 0.5
  EXPECT_NEAR(z_at(field, 4, Covariate::host), (std::log10(0.505) + 1) / 0.7, 1e-12);
  // Delta method: sd of h = sqrt(0.1^2 + 0.05^2), slope 1 / (ln 10 * 0.505 * 0.7).
  const double slope = 1 / (std::log(10.0) * 0.505 * 0.7);
  EXPECT_NEAR(field.host_variance(4), 0.0125 * slope * slope, 1e-12);
}

TEST(CovariateField, RecordsRaiseTheHostAndNarrowTheBand) {
  Layers l = plain_layers(9, 9, 2);
  const std::size_t centre = l.georef.index(4, 4);
  const double before = CovariateField(l, elm_profile()).host_variance(centre);
  add_host_points(l, {{"Acer", l.georef.x_of(4), l.georef.y_of(4), 20, true}});
  const CovariateField field(l, elm_profile());
  EXPECT_NEAR(field.host_cover(centre), 1 - 0.5 * 0.5, 1e-6);  // maple weighs 0.5
  EXPECT_LT(field.host_variance(centre), before);
  EXPECT_NEAR(z_at(field, centre, Covariate::dead_wood), (1 - 0.2) / 0.3, 1e-6);
  EXPECT_NEAR(field.host_cover(0), 0.5, 1e-12);
}

TEST(CovariateField, TreesWithoutANameAreAWideBand) {
  const Layers named = plain_layers(2, 2, 2), unnamed = plain_layers(2, 2, 3);
  EXPECT_GT(CovariateField(unnamed, elm_profile()).host_variance(0),
            3 * CovariateField(named, elm_profile()).host_variance(0));
}

TEST(CovariateField, AProfileWithoutHostsSaysNothingOfThem) {
  const Layers l = plain_layers(2, 2, 2);
  const CovariateField field(l, species::Profile{});
  EXPECT_EQ(z_at(field, 0, Covariate::host), 0);
  EXPECT_EQ(field.host_variance(0), 0);
}

TEST(CovariateField, WaterAndNodataAreNotDefined) {
  Layers l = plain_layers(3, 1, 1);
  l.cover.codes[0] = 0;
  l.elevation_m.values[1] = std::nanf("");
  const CovariateField field(l, elm_profile());
  EXPECT_FALSE(field.defined(0));
  EXPECT_FALSE(field.defined(1));
  EXPECT_TRUE(field.defined(2));
}

TEST(CovariateField, BeyondThreeScalesIsHeldAndSaid) {
  Layers l = plain_layers(3, 1, 1);
  l.elevation_m.values[1] = 700 + 3.5f * 600;
  l.cover.codes[2] = raster::ClassGrid::kNone;
  const CovariateField field(l, elm_profile());
  EXPECT_FALSE(field.extrapolated(0));
  EXPECT_TRUE(field.extrapolated(1));
  EXPECT_EQ(z_at(field, 1, Covariate::elevation), 3);
  EXPECT_TRUE(field.extrapolated(2));
  EXPECT_TRUE(field.defined(2));
  EXPECT_GT(field.host_variance(2), field.host_variance(0) + 1);
}

TEST(CovariateField, UnknownLayersStandAtTheirCentre) {
  const Layers l = plain_layers(2, 2, 1);
  const CovariateField field(l, elm_profile());
  for (const Covariate which :
       {Covariate::wetness, Covariate::slope, Covariate::water_distance, Covariate::elevation})
    EXPECT_EQ(z_at(field, 0, which), 0);
}

TEST(CovariateField, LayersOnOtherCellsAreRefused) {
  Layers l = plain_layers(2, 2, 1);
  l.wetness = raster::Grid(raster::Georef{0, 0, 10, 2, 2, 32618}, raster::Quantity::wetness, 6);
  EXPECT_THROW(CovariateField(l, elm_profile()), Error);
}

RC_GTEST_PROP(CovariateField, StaysInItsBounds, ()) {
  Layers l = random_layers(12, 9, *rc::gen::arbitrary<std::uint64_t>());
  base::Random random(*rc::gen::arbitrary<std::uint64_t>());
  std::vector<HostPoint> points;
  for (int i = 0; i < 5; ++i)
    points.push_back({random.chance(0.5) ? "Ulmus" : "Acer", 500000 + random.uniform(-50, 170),
                      4700000 - random.uniform(-50, 140), random.uniform(0.5, 60), random.chance(0.5)});
  add_host_points(l, points);
  const CovariateField field(l, elm_profile());
  const double half_span = (std::log10(1.005) - std::log10(0.005)) / 0.7 / 2;
  for (std::size_t cell = 0; cell < l.georef.size(); ++cell) {
    std::array<double, kCovariates> z{};
    field.z(cell, z);
    for (double each : z) RC_ASSERT(std::abs(each) <= kMostScales);
    RC_ASSERT(field.host_cover(cell) >= 0 && field.host_cover(cell) <= 1);
    RC_ASSERT(field.host_variance(cell) >= 0 && field.host_variance(cell) <= half_span * half_span + 1e-12);
  }
}

}  // namespace
}  // namespace stumpwise::ground
