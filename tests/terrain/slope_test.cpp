#include "stumpwise/terrain/slope.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstdlib>

#include "stumpwise/base/files.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::terrain {
namespace {

using raster::Georef;
using raster::Grid;

Georef cells(int cols, int rows, double cell_m = 10) {
  return {500000, 5'100'000, cell_m, cols, rows, 32633};
}

template <class F>
Grid surface(const Georef& g, F height) {
  Grid grid(g, raster::Quantity::elevation_m);
  for (int row = 0; row < g.rows; ++row)
    for (int col = 0; col < g.cols; ++col)
      grid.at(col, row) = static_cast<float>(height(col * g.cell_m, row * g.cell_m));
  return grid;
}
/// Hills and hollows without symmetry.
Grid hills(int cols, int rows) {
  return surface(cells(cols, rows), [](double x, double y) {
    return 500 + 40 * std::sin(x / 130) * std::cos(y / 90) + 0.05 * x + 15 * std::sin((x + 2 * y) / 50);
  });
}

// Published windows: check-values.md T09, T10 and 5.1 to 5.6 (Horn 1981; worked examples on a GIS vendor's
// reference pages "How slope works", "How aspect works", "How hillshade works").
TEST(Horn, PublishedSlopeWindow) {
  const double z[9] = {50, 45, 50, 30, 30, 30, 8, 10, 10};
  const Gradient g = horn_gradient(z, 5);
  EXPECT_NEAR(g.dz_dx, 0.05, 1e-12);
  EXPECT_NEAR(g.dz_dy, -3.8, 1e-12);
  EXPECT_NEAR(slope_deg(g), 75.2577, 1e-4);
  EXPECT_NEAR(100 * std::hypot(g.dz_dx, g.dz_dy), 380.033, 1e-3);
}

TEST(Horn, PublishedAspectWindow) {
  const double z[9] = {101, 92, 85, 101, 92, 85, 101, 91, 84};
  const Gradient g = horn_gradient(z, 1);
  EXPECT_NEAR(g.dz_dx, -8.125, 1e-12);
  EXPECT_NEAR(g.dz_dy, -0.375, 1e-12);
  EXPECT_NEAR(aspect_deg(g), 92.64, 0.01);
  EXPECT_NEAR(slope_deg(g), 82.990885, 1e-6);
  EXPECT_NEAR(slope_deg(horn_gradient(z, 5)), 58.419701, 1e-6);
}

TEST(Horn, PublishedHillshadeWindow) {
  const double z[9] = {2450, 2461, 2483, 2452, 2461, 2483, 2447, 2455, 2477};
  const Gradient g = horn_gradient(z, 5);
  EXPECT_NEAR(g.dz_dx, 3.125, 1e-12);
  EXPECT_NEAR(g.dz_dy, -0.525, 1e-12);
  EXPECT_NEAR(slope_deg(g), 72.485473, 1e-6);
  EXPECT_NEAR(aspect_deg(g), 260.463364, 1e-6);
}

TEST(Horn, WindowOfZevenbergenAndThorne) {
  const double z[9] = {42, 45, 47, 40, 44, 49, 44, 48, 52};
  const Gradient g = horn_gradient(z, 10);
  EXPECT_NEAR(g.dz_dx, 0.3875, 1e-12);
  EXPECT_NEAR(g.dz_dy, 0.1625, 1e-12);
  EXPECT_NEAR(slope_deg(g), 22.791825, 1e-6);
  EXPECT_NEAR(aspect_deg(g), 292.750976, 1e-6);
}

RC_GTEST_PROP(SlopeAspect, TiltedPlaneKeepsItsSlopeUpToTheCorners, ()) {
  const double towards_deg = *rc::gen::inRange(0, 3600) / 10.0, tilt_deg = *rc::gen::inRange(20, 600) / 10.0;
  const double rise = std::tan(tilt_deg * M_PI / 180), a = towards_deg * M_PI / 180;
  // Downslope towards azimuth a: east sin a, north cos a; the second coordinate grows to the south.
  const Grid dem = surface(
      cells(7, 6), [&](double x, double y) { return 1000 - rise * (x * std::sin(a) - y * std::cos(a)); });
  const SlopeAspect result = slope_aspect(dem, 1);
  for (std::size_t i = 0; i < dem.values.size(); ++i) {
    RC_ASSERT(std::abs(result.slope_deg.values[i] - tilt_deg) < 2e-3);
    const double off = std::remainder(result.aspect_deg.values[i] - towards_deg, 360);
    RC_ASSERT(std::abs(off) < 0.02);
    RC_ASSERT(result.aspect_deg.values[i] >= 0 && result.aspect_deg.values[i] < 360);
  }
}

TEST(SlopeAspect, QuarterTurnOfTheLandTurnsTheAspect) {
  const Grid dem = hills(23, 23);
  Grid turned(dem.georef, dem.quantity);  // clockwise: what lay north lies east
  for (int row = 0; row < 23; ++row)
    for (int col = 0; col < 23; ++col) turned.at(22 - row, col) = dem.at(col, row);
  const SlopeAspect a = slope_aspect(dem, 1), b = slope_aspect(turned, 1);
  for (int row = 0; row < 23; ++row)
    for (int col = 0; col < 23; ++col) {
      EXPECT_NEAR(b.slope_deg.at(22 - row, col), a.slope_deg.at(col, row), 1e-4);
      EXPECT_NEAR(std::remainder(b.aspect_deg.at(22 - row, col) - a.aspect_deg.at(col, row) - 90, 360), 0,
                  1e-2);
    }
}

TEST(SlopeAspect, FlatGroundHasNoAspectAndHolesStayHoles) {
  Grid dem(cells(5, 5), raster::Quantity::elevation_m, 7);
  dem.at(2, 2) = std::nanf("");
  const SlopeAspect result = slope_aspect(dem, 1);
  EXPECT_EQ(result.slope_deg.at(0, 0), 0);
  EXPECT_EQ(result.slope_deg.at(1, 1), 0);
  EXPECT_TRUE(std::isnan(result.aspect_deg.at(1, 1)));
  EXPECT_TRUE(std::isnan(result.slope_deg.at(2, 2)));
}

TEST(SlopeAspect, ThreadsDoNotChangeABit) {
  const Grid dem = hills(150, 211);
  const SlopeAspect one = slope_aspect(dem, 1), four = slope_aspect(dem, 4);
  EXPECT_EQ(one.slope_deg.values, four.slope_deg.values);
  EXPECT_EQ(one.aspect_deg.values, four.aspect_deg.values);
}

/// Runs gdaldem on a file and reads what it made.
Grid gdaldem(const std::string& mode, const std::filesystem::path& dem, const std::filesystem::path& folder) {
  const auto out = folder / (mode.substr(0, mode.find(' ')) + ".tif");
  const std::string command =
      "gdaldem " + mode + " -q -compute_edges " + dem.string() + " " + out.string() + " >/dev/null 2>&1";
  if (std::system(command.c_str()) != 0) ADD_FAILURE() << command;
  return raster::read_grid(out);
}

void compare_with_gdaldem(const Grid& dem) {
  const base::TemporaryFolder folder;
  const auto file = folder.path() / "dem.tif";
  raster::write_geotiff(file, dem, -9999);
  const SlopeAspect ours = slope_aspect(dem, 2);
  const Grid slope = gdaldem("slope", file, folder.path()), aspect = gdaldem("aspect", file, folder.path());
  const Georef& g = dem.georef;
  double worst_slope = 0, worst_sideways = 0;
  std::size_t compared = 0;
  for (int row = 0; row < g.rows; ++row) {
    for (int col = 0; col < g.cols; ++col) {
      const bool corner = (row == 0 || row == g.rows - 1) && (col == 0 || col == g.cols - 1);
      bool hole = false;
      for (int k = 0; k < 9; ++k) {
        const int c = col + k % 3 - 1, r = row + k / 3 - 1;
        hole = hole || (g.inside(c, r) && std::isnan(dem.at(c, r)));
      }
      if (corner || hole) continue;
      ++compared;
      worst_slope = std::max<double>(worst_slope, std::abs(ours.slope_deg.at(col, row) - slope.at(col, row)));
      const double rise = std::tan(ours.slope_deg.at(col, row) * M_PI / 180);
      if (std::isnan(aspect.at(col, row)) || rise < 1e-3) continue;  // nearly flat: the direction is rounding
      const double off =
          std::abs(std::remainder(ours.aspect_deg.at(col, row) - aspect.at(col, row), 360)) * M_PI / 180;
      worst_sideways = std::max(worst_sideways, off * rise);
    }
  }
  EXPECT_GT(compared, g.size() / 3);
  // gdaldem sums heights in single precision: at 2600 m eight of them are good to about 2e-3 m, over 8 cells
  // of 10 m 2.5e-5 of rise, which is 1.5e-3 degrees of slope. An aspect is off by the same rise sideways,
  // whatever the slope.
  EXPECT_LT(worst_slope, 2e-3);
  EXPECT_LT(worst_sideways, 3e-5);
}

bool has_gdaldem() {
  return std::system("command -v gdaldem >/dev/null 2>&1") == 0;
}

TEST(AgainstGdaldem, InventedHills) {
  if (!has_gdaldem()) GTEST_SKIP() << "gdaldem is absent";
  compare_with_gdaldem(hills(200, 160));
}

TEST(AgainstGdaldem, SagehenAndDurham) {
  if (!has_gdaldem()) GTEST_SKIP() << "gdaldem is absent";
  const char* named = std::getenv("STUMPWISE_SHARED");
  std::filesystem::path data = named ? named : std::filesystem::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
  if (!std::filesystem::exists(data / "place")) data /= "data";
  if (!std::filesystem::exists(data / "place")) GTEST_SKIP() << "shared data are absent";
  for (const char* file : {"place/sagehen/dem-utm10.tif", "place/durham/dem-utm17.tif"})
    compare_with_gdaldem(raster::read_grid(data / file));
}

}  // namespace
}  // namespace stumpwise::terrain
