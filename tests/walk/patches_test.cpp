#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

#include "scene.h"
#include "stumpwise/base/error.h"

namespace stumpwise::walk {
namespace {

using namespace scene;

raster::Grid prospect(int cols, int rows, float finds_per_ha = 0) {
  return raster::Grid(georef(cols, rows), raster::Quantity::finds_per_ha, finds_per_ha);
}

TEST(FindPatches, PutsTheFirstPatchOnTheRichestStand) {
  raster::Grid map = prospect(100, 80, 0.1f);
  for (int row = 40; row < 49; ++row)
    for (int col = 60; col < 69; ++col) map.at(col, row) = 12;
  for (int row = 10; row < 19; ++row)
    for (int col = 20; col < 29; ++col) map.at(col, row) = 5;
  const auto patches = find_patches(map, nullptr, 90, 2);
  ASSERT_EQ(patches.size(), 2u);
  EXPECT_EQ(patches[0].id, 1);
  EXPECT_NEAR(patches[0].centre.x_m, map.georef.x_of(64), 20);
  EXPECT_NEAR(patches[0].centre.y_m, map.georef.y_of(44), 20);
  EXPECT_NEAR(patches[0].area_m2, 8100, 1);
  EXPECT_NEAR(patches[0].expected, 12 * 0.81, 0.25 * 12 * 0.81);
  EXPECT_NEAR(patches[1].centre.x_m, map.georef.x_of(24), 20);
  EXPECT_GE(patches[0].expected, patches[1].expected);
}

TEST(FindPatches, FindsNoneWhereNothingIsExpected) {
  EXPECT_TRUE(find_patches(prospect(50, 50, 0), nullptr, 90, 10).empty());
  EXPECT_TRUE(find_patches(prospect(50, 50, std::nanf("")), nullptr, 90, 10).empty());
  EXPECT_TRUE(find_patches(prospect(50, 50, 1), nullptr, 90, 0).empty());
  EXPECT_TRUE(find_patches(raster::Grid(), nullptr, 90, 10).empty());
  const raster::Grid all_wall(georef(50, 50), raster::Quantity::flag, 1);
  EXPECT_TRUE(find_patches(prospect(50, 50, 1), &all_wall, 90, 10).empty());
  EXPECT_THROW(find_patches(prospect(5, 5, 1), nullptr, 0, 10), Error);
}

TEST(FindPatches, TakesTinyMaps) {
  const auto one = find_patches(prospect(1, 1, 3), nullptr, 90, 10);
  ASSERT_EQ(one.size(), 1u);
  EXPECT_NEAR(one[0].expected, 3 * 0.01, 1e-9);
  EXPECT_EQ(find_patches(prospect(3, 2, 3), nullptr, 90, 10).size(), 1u);
  // Cells wider than the side: a cell is a patch.
  raster::Grid coarse(georef(4, 4, 250), raster::Quantity::finds_per_ha, 1);
  EXPECT_EQ(find_patches(coarse, nullptr, 90, 100).size(), 16u);
}

TEST(FindPatches, DoesNotLieOnTwoBanks) {
  raster::Grid map = prospect(9, 9, 4);
  raster::Grid wall(map.georef, raster::Quantity::flag, 0);
  for (int col = 0; col < 9; ++col) wall.at(col, 5) = 1;
  const auto patches = find_patches(map, &wall, 90, 1);
  ASSERT_EQ(patches.size(), 1u);
  EXPECT_EQ(patches[0].cells.size(), 45u);
  for (std::size_t cell : patches[0].cells) EXPECT_LT(cell / 9, 5u);
}

TEST(FindPatches, PrefersWhatCanBeReachedInTime) {
  raster::Grid map = prospect(600, 30, 0);
  const auto stand = [&](int col, float finds_per_ha) {
    for (int row = 9; row < 18; ++row)
      for (int c = col; c < col + 9; ++c) map.at(c, row) = finds_per_ha;
  };
  stand(30, 2);
  stand(550, 9);
  const auto& g = map.georef;
  const earth::PlanePoint start{g.x_of(0), g.y_of(13)};
  EXPECT_GT(find_patches(map, nullptr, 90, 1)[0].centre.x_m, g.x_of(500));
  const PatchReach reach{start, start, 120};  // two hours carry 3 km out and back, not 5.5
  const auto near = find_patches(map, nullptr, 90, 5, &reach);
  ASSERT_FALSE(near.empty());
  for (const Patch& patch : near) EXPECT_LT(patch.centre.x_m, g.x_of(100));
}

RC_GTEST_PROP(FindPatches, AreApartCompactOpenAndAddUp, ()) {
  base::Random random(*rc::gen::inRange(0, 1000000));
  const int cols = random.integer(1, 60), rows = random.integer(1, 60);
  raster::Grid map = prospect(cols, rows), wall(map.georef, raster::Quantity::flag, 0);
  for (std::size_t i = 0; i < map.values.size(); ++i) {
    map.values[i] = random.chance(0.05) ? std::nanf("") : static_cast<float>(random.gamma(0.3, 3));
    if (random.chance(0.1)) wall.values[i] = 1;
  }
  const auto patches = find_patches(map, &wall, 90, 12);
  const auto again = find_patches(map, &wall, 90, 12);
  RC_ASSERT(patches.size() == again.size());
  std::set<std::size_t> taken;
  for (std::size_t p = 0; p < patches.size(); ++p) {
    const Patch& patch = patches[p];
    RC_ASSERT(patch.id == static_cast<int>(p) + 1);
    RC_ASSERT(patch.cells == again[p].cells);
    double sum = 0;
    int left = cols, right = -1, top = rows, bottom = -1;
    for (std::size_t cell : patch.cells) {
      RC_ASSERT(taken.insert(cell).second);
      RC_ASSERT(wall.values[cell] == 0);
      RC_ASSERT(std::isfinite(map.values[cell]));
      sum += map.values[cell] * 0.01;
      const int col = static_cast<int>(cell) % cols, row = static_cast<int>(cell) / cols;
      left = std::min(left, col), right = std::max(right, col), top = std::min(top, row),
      bottom = std::max(bottom, row);
    }
    RC_ASSERT(right - left < 9 && bottom - top < 9);
    RC_ASSERT(std::abs(sum - patch.expected) < 1e-6 * (1 + sum));
    RC_ASSERT(std::abs(patch.area_m2 - 100.0 * static_cast<double>(patch.cells.size())) < 1e-9);
    const auto& g = map.georef;
    const std::size_t centre = g.index(g.col_of(patch.centre.x_m), g.row_of(patch.centre.y_m));
    RC_ASSERT(std::count(patch.cells.begin(), patch.cells.end(), centre) == 1);
  }
}

}  // namespace
}  // namespace stumpwise::walk
