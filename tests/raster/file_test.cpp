#include "stumpwise/raster/file.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "helpers.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/earth/projection.h"

namespace stumpwise::raster {
namespace {

namespace fs = std::filesystem;
using namespace testing_help;

template <class F>
ErrorCode code_of(F f) {
  try {
    f();
  } catch (const Error& error) {
    EXPECT_FALSE(std::string(error.what()).empty());
    return error.code();
  }
  ADD_FAILURE() << "no error";
  return ErrorCode::internal;
}

TEST(Cog, KeepsValuesHolesBandsAndWhatItWasMadeFrom) {
  const base::TemporaryFolder folder;
  const Georef g = small(700, 530);
  Grid a = plane_grid(g), b(g, Quantity::fraction, 0.25f);
  a.at(3, 4) = std::nanf("");
  const Provenance made{"7", {{"dem", std::string(64, 'a')}, {"cover", "none"}}};
  const fs::path path = folder.path() / "x.tif";
  write_cog(path, {{"elevation", &a}, {"share", &b}}, made, {{"NOTE", "invented"}});
  const Grid first = read_grid(path), second = read_grid(path, 2);
  EXPECT_EQ(first.georef, g);
  EXPECT_EQ(first.quantity, Quantity::elevation_m);
  EXPECT_EQ(second.quantity, Quantity::fraction);
  EXPECT_EQ(second.values, b.values);
  EXPECT_TRUE(std::isnan(first.at(3, 4)));
  EXPECT_EQ(first.at(699, 529), a.at(699, 529));
  EXPECT_EQ(read_provenance(path), made);
  EXPECT_EQ(code_of([&] { read_grid(path, 3); }), ErrorCode::bad_value);
}

TEST(Cog, IsCloudOptimisedByGdalsOwnCheck) {
  if (std::system("/usr/bin/python3 -c 'import osgeo_utils.samples.validate_cloud_optimized_geotiff' "
                  ">/dev/null 2>&1") != 0)
    GTEST_SKIP() << "python3-gdal is absent";
  const base::TemporaryFolder folder;
  const Grid grid = plane_grid(small(700, 530));
  const fs::path path = folder.path() / "x.tif";
  write_cog(path, {{"elevation", &grid}}, {"1", {}});
  EXPECT_EQ(std::system(("/usr/bin/python3 -m osgeo_utils.samples.validate_cloud_optimized_geotiff -q " +
                         path.string() + " >/dev/null 2>&1")
                            .c_str()),
            0);
}

TEST(Cog, KeepsClassCodes) {
  const base::TemporaryFolder folder;
  ClassGrid classes{small(90, 70), {}};
  for (std::size_t i = 0; i < classes.georef.size(); ++i)
    classes.codes.push_back(static_cast<std::uint8_t>(i % 256));
  write_cog(folder.path() / "c.tif", classes, {"1", {}});
  EXPECT_EQ(read_classes(folder.path() / "c.tif").codes, classes.codes);
}

TEST(Cog, NoProvenanceWhereThereIsNone) {
  const base::TemporaryFolder folder;
  EXPECT_FALSE(read_provenance(folder.path() / "none.tif"));
  write_geotiff(folder.path() / "plain.tif", plane_grid(small(20, 20)));
  EXPECT_FALSE(read_provenance(folder.path() / "plain.tif"));
}

TEST(Cog, AFailureLeavesTheOldFileAndNothingElse) {
  const base::TemporaryFolder folder;
  const Grid grid = plane_grid(small(300, 300));
  const fs::path path = folder.path() / "x.tif";
  write_cog(path, {{"elevation", &grid}}, {"1", {}});
  const std::string before = base::sha256_file(path);
  base::set_interrupted(true);
  EXPECT_EQ(code_of([&] { write_cog(path, {{"elevation", &grid}}, {"2", {}}); }), ErrorCode::cancelled);
  EXPECT_EQ(code_of([&] { write_geotiff(path, grid); }), ErrorCode::cancelled);
  base::set_interrupted(false);
  EXPECT_EQ(base::sha256_file(path), before);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), {}), 1);
  write_text(folder.path() / "file", "no folder");
  EXPECT_ANY_THROW(write_cog(folder.path() / "file" / "x.tif", {{"elevation", &grid}}, {"1", {}}));
}

TEST(GeoTiff, WritesTheNodataValueAsked) {
  const base::TemporaryFolder folder;
  for (const float nodata : {-9999.0f, -3.4028235e38f, std::nanf("")}) {
    Grid grid = plane_grid(small(40, 30));
    grid.at(5, 6) = std::nanf("");
    write_geotiff(folder.path() / "x.tif", grid, nodata);
    const Grid back = read_grid(folder.path() / "x.tif");
    EXPECT_TRUE(std::isnan(back.at(5, 6)));
    EXPECT_EQ(back.at(6, 6), grid.at(6, 6));
  }
}

struct BadFiles : ::testing::Test {
  base::TemporaryFolder folder;
  Georef georef = small(400, 400);
  fs::path good = folder.path() / "good.tif";
  void SetUp() override { write_geotiff(good, plane_grid(georef)); }
  Grid warp(const fs::path& path) {
    return warp_values({{path.string()}, georef, false, 1}, Quantity::elevation_m);
  }
};

TEST_F(BadFiles, AreClearErrorsAndNothingReachesStderr) {
  write_text(folder.path() / "text.tif", "this is no raster\n");
  fs::copy_file(good, folder.path() / "cut.tif");
  cut_to(folder.path() / "cut.tif", 0.5);
  Grid nowhere = plane_grid(georef);
  nowhere.georef.epsg = 0;
  write_geotiff(folder.path() / "bare.tif", nowhere);
  Grid elsewhere = plane_grid(georef);
  elsewhere.georef.left_m += 90000;
  write_geotiff(folder.path() / "far.tif", elsewhere);
  ::testing::internal::CaptureStderr();
  EXPECT_EQ(code_of([&] { raster_info((folder.path() / "missing.tif").string()); }), ErrorCode::unreadable);
  EXPECT_EQ(code_of([&] { raster_info((folder.path() / "text.tif").string()); }), ErrorCode::unreadable);
  EXPECT_EQ(code_of([&] { raster_info((folder.path() / "bare.tif").string()); }), ErrorCode::bad_format);
  EXPECT_EQ(code_of([&] { warp(folder.path() / "cut.tif"); }), ErrorCode::unreadable);
  EXPECT_EQ(code_of([&] { read_grid(folder.path() / "cut.tif"); }), ErrorCode::unreadable);
  EXPECT_EQ(code_of([&] { warp(folder.path() / "bare.tif"); }), ErrorCode::bad_format);
  EXPECT_EQ(code_of([&] { warp(folder.path() / "far.tif"); }), ErrorCode::no_overlap);
  EXPECT_EQ(code_of([&] {
              warp_classes({(folder.path() / "far.tif").string()}, georef, {{1, 1}});
            }),
            ErrorCode::no_overlap);
  EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
}

TEST_F(BadFiles, CutOffAnywhereNeverReadAsZeros) {
  for (const double share : {0.001, 0.01, 0.1, 0.3, 0.7, 0.95, 0.999}) {
    const fs::path path = folder.path() / "cut.tif";
    fs::copy_file(good, path, fs::copy_options::overwrite_existing);
    cut_to(path, share);
    try {
      const Grid grid = read_grid(path);
      EXPECT_EQ(grid.values, plane_grid(georef).values) << share;
    } catch (const Error& error) {
      EXPECT_EQ(error.code(), ErrorCode::unreadable) << share;
    }
  }
}

TEST_F(BadFiles, NetworkPathsAreRefused) {
  EXPECT_EQ(code_of([&] { raster_info("/vsicurl/x/y.tif"); }), ErrorCode::bad_value);
  EXPECT_EQ(code_of([&] { raster_info("/vsizip//vsicurl/x/y.zip"); }), ErrorCode::bad_value);
}

TEST_F(BadFiles, ZippedRasterIsRead) {
  if (!has_program("/usr/bin/python3")) GTEST_SKIP() << "python3 is absent";
  const std::string zip = (folder.path() / "x.zip").string();
  auto pack = [&](const std::string& names) {
    return std::system(
        ("cd " + folder.path().string() + " && rm -f x.zip && /usr/bin/python3 -m zipfile -c x.zip " + names)
            .c_str());
  };
  write_text(folder.path() / "readme.txt", "about the tile");
  ASSERT_EQ(pack("good.tif readme.txt"), 0);
  EXPECT_EQ(raster_info(zip).cols, 400);
  EXPECT_EQ(warp(zip).at(200, 200), plane(georef, 200, 200));
  fs::copy_file(good, folder.path() / "other.tif");
  ASSERT_EQ(pack("good.tif other.tif"), 0);
  EXPECT_EQ(code_of([&] { raster_info(zip); }), ErrorCode::bad_value);
  ASSERT_EQ(pack("readme.txt"), 0);
  EXPECT_EQ(code_of([&] { raster_info(zip); }), ErrorCode::unreadable);
  ASSERT_EQ(pack("good.tif"), 0);
  cut_to(zip, 0.6);
  EXPECT_EQ(code_of([&] { warp(zip); }), ErrorCode::unreadable);
}

TEST_F(BadFiles, ReadingStopsOnInterrupt) {
  base::set_interrupted(true);
  EXPECT_EQ(code_of([&] { warp(good); }), ErrorCode::cancelled);
  EXPECT_EQ(code_of([&] { read_grid(good); }), ErrorCode::cancelled);
  base::set_interrupted(false);
}

TEST(Info, SaysExtentAndCell) {
  const base::TemporaryFolder folder;
  const Georef g = small(120, 90);
  write_geotiff(folder.path() / "x.tif", plane_grid(g));
  const RasterInfo info = raster_info((folder.path() / "x.tif").string());
  EXPECT_EQ(info.cols, 120);
  EXPECT_FALSE(info.geographic);
  EXPECT_NEAR(info.cell_m, 10, 0.01);
  EXPECT_FALSE(info.unit_declared);
  const LatLon corner = earth::Utm::from_epsg(32633).inverse({g.left_m, g.top_m - 900});
  const bool in_outline = std::any_of(info.outline.begin(), info.outline.end(), [&](const LatLon& place) {
    return std::abs(place.lat_deg - corner.lat_deg) < 1e-8 && std::abs(place.lon_deg - corner.lon_deg) < 1e-8;
  });
  EXPECT_TRUE(in_outline);
}

TEST(GroundGrid, IsTheFilesOwnWhereItLiesOnWholeCells) {
  const base::TemporaryFolder folder;
  const Georef g = small(123, 97);
  write_geotiff(folder.path() / "x.tif", plane_grid(g));
  EXPECT_EQ(ground_georef({raster_info((folder.path() / "x.tif").string())}, 10, std::nullopt, 0), g);
}

TEST(GroundGrid, IsCutOutAroundAPlaceAndRefusesOneOutside) {
  const base::TemporaryFolder folder;
  const Georef g = small(1000, 800);
  write_geotiff(folder.path() / "x.tif", plane_grid(g));
  const std::vector<RasterInfo> files{raster_info((folder.path() / "x.tif").string())};
  const earth::Utm utm = earth::Utm::from_epsg(32633);
  const Georef cut = ground_georef(files, 20, utm.inverse({505000, 5'004'000}), 1.5);
  EXPECT_EQ(cut.cols, 150);
  EXPECT_EQ(cut.rows, 150);
  EXPECT_NEAR(cut.x_of(0), 503510, 1e-6);
  const Georef corner =
      ground_georef(files, 10, utm.inverse({500100, 5'000'100}), 1);  // half of it lies off the file
  EXPECT_EQ(corner.cols, 110);
  EXPECT_EQ(corner.left_m, 500000);
  EXPECT_EQ(code_of([&] { ground_georef(files, 10, LatLon{.lat_deg = 10, .lon_deg = 10}, 5); }),
            ErrorCode::no_overlap);
  EXPECT_EQ(code_of([&] { ground_georef(files, 0, std::nullopt, 0); }), ErrorCode::bad_value);
  EXPECT_EQ(code_of([&] { ground_georef({}, 10, std::nullopt, 0); }), ErrorCode::bad_usage);
}

TEST(Warp, JoinsTilesFirstComesFirst) {
  const base::TemporaryFolder folder;
  const Georef whole = small(200, 100);
  Georef west = whole, east = whole;
  west.cols = 110;
  east.left_m += 1000;
  east.cols = 100;
  Grid right = plane_grid(east);
  for (float& v : right.values) v += 1000;  // where both have a value the first must win
  Grid left = plane_grid(west);
  left.at(50, 50) = left.at(105, 20) = std::nanf("");
  write_geotiff(folder.path() / "w.tif", left, -9999);
  write_geotiff(folder.path() / "e.tif", right);
  const Grid joined =
      warp_values({{(folder.path() / "w.tif").string(), (folder.path() / "e.tif").string()}, whole, false, 1},
                  Quantity::elevation_m);
  EXPECT_EQ(joined.at(10, 10), plane(whole, 10, 10));
  EXPECT_EQ(joined.at(104, 10), plane(whole, 104, 10));
  EXPECT_NEAR(joined.at(105, 20), plane(whole, 105, 20) + 1000,
              1e-3);  // a hole of the first, filled by the second
  EXPECT_TRUE(std::isnan(joined.at(50, 50)));
  EXPECT_NEAR(joined.at(150, 10), plane(whole, 150, 10) + 1000, 1e-3);
}

TEST(Warp, AveragesFineSourcesAndScales) {
  const base::TemporaryFolder folder;
  const Georef fine = small(500, 500, 2);
  Grid grid = plane_grid(fine);
  for (int row = 0; row < 500; ++row)
    for (int col = 0; col < 500; ++col)
      grid.at(col, row) += (col + row) % 2 ? 5.0f : -5.0f;  // noise that a mean cancels
  write_geotiff(folder.path() / "x.tif", grid);
  const Georef coarse = small(50, 50, 20);
  const Grid mean =
      warp_values({{(folder.path() / "x.tif").string()}, coarse, true, 0.3048}, Quantity::elevation_m);
  for (const auto& [c, r] : {std::pair{0, 0}, {25, 25}, {49, 49}})
    EXPECT_NEAR(mean.at(c, r), 0.3048 * plane(coarse, c, r), 0.01);
}

TEST(Warp, ReprojectsBetweenZones) {
  const base::TemporaryFolder folder;
  // The same land seen from the neighbouring zone: heights that encode the place must come back at the place.
  const earth::Utm home = earth::Utm::from_epsg(32633), next = earth::Utm::from_epsg(32632);
  const Georef source{430000, 5'210'000, 50, 400, 400, 32633};
  Grid grid(source, Quantity::elevation_m);
  for (int row = 0; row < 400; ++row)
    for (int col = 0; col < 400; ++col)
      grid.at(col, row) = static_cast<float>((source.x_of(col) - 430000) / 10);
  write_geotiff(folder.path() / "x.tif", grid);
  const auto middle = next.forward(home.inverse({440000, 5'200'000}));
  const Georef target{
      std::floor(middle.x_m / 10) * 10 - 1000, std::floor(middle.y_m / 10) * 10 + 1000, 10, 200, 200, 32632};
  const Grid warped =
      warp_values({{(folder.path() / "x.tif").string()}, target, false, 1}, Quantity::elevation_m);
  for (const auto& [c, r] : {std::pair{0, 0}, {100, 100}, {199, 50}}) {
    const auto there = home.forward(next.inverse({target.x_of(c), target.y_of(r)}));
    EXPECT_NEAR(warped.at(c, r), (there.x_m - 430000) / 10, 0.05);  // half a metre of place
  }
}

TEST(Warp, ClassesGoThroughTheMapAndHolesStayHoles) {
  const base::TemporaryFolder folder;
  ClassGrid source{small(30, 30, 30), std::vector<std::uint8_t>(900, 41)};
  for (std::size_t i = 0; i < 300; ++i) source.codes[i] = ClassGrid::kNone;
  for (std::size_t i = 300; i < 600; ++i) source.codes[i] = 77;  // not in the map
  write_cog(folder.path() / "c.tif", source, {"1", {}});
  const ClassGrid warped =
      warp_classes({(folder.path() / "c.tif").string()}, small(90, 90, 10), {{41, 3}, {255, 9}});
  EXPECT_EQ(warped.codes[warped.georef.index(45, 10)], ClassGrid::kNone);
  EXPECT_EQ(warped.codes[warped.georef.index(45, 45)], ClassGrid::kNone);
  EXPECT_EQ(warped.codes[warped.georef.index(45, 80)], 3);
}

struct Facts {
  float low = INFINITY, high = -INFINITY;
  double mean = 0;
  std::size_t valid = 0;
};
Facts facts(const Grid& grid) {
  Facts f;
  for (const float v : grid.values) {
    if (std::isnan(v)) continue;
    f.low = std::min(f.low, v);
    f.high = std::max(f.high, v);
    f.mean += v;
    ++f.valid;
  }
  f.mean /= static_cast<double>(f.valid);
  return f;
}

/// Figures of the data's README, counted there by other means.
struct RealData : ::testing::Test {
  fs::path data = shared_data();
  void SetUp() override {
    if (data.empty()) GTEST_SKIP() << "shared data are absent";
  }
};

TEST_F(RealData, SagehenReadAsItIs) {
  const Facts f = facts(read_grid(data / "place/sagehen/dem-utm10.tif"));
  EXPECT_EQ(f.valid, 533223u);
  EXPECT_NEAR(f.low, 1911.1783, 1e-3);
  EXPECT_NEAR(f.high, 2676.1123, 1e-3);
  EXPECT_NEAR(f.mean, 2173.8739, 1e-3);
}

TEST_F(RealData, SagehenDegreesOntoTheGroundAgreeWithTheUtmFile) {
  const std::string utm = (data / "place/sagehen/dem-utm10.tif").string(),
                    degrees = (data / "place/sagehen/dem-nad83.tif").string();
  const Georef ground = ground_georef({raster_info(utm)}, 10, std::nullopt, 0);
  EXPECT_EQ(ground.epsg, 32610);
  EXPECT_EQ(ground.cols, 783);
  EXPECT_EQ(ground.rows, 681);
  EXPECT_NEAR(ground.left_m, 730440, 1e-6);
  const Grid a = warp_values({{utm}, ground, false, 1}, Quantity::elevation_m);
  const Grid b = warp_values({{degrees}, ground, false, 1}, Quantity::elevation_m);
  double sum = 0;
  std::size_t n = 0;
  for (std::size_t i = 0; i < a.values.size(); ++i)
    if (!std::isnan(a.values[i]) && !std::isnan(b.values[i])) sum += std::abs(a.values[i] - b.values[i]), ++n;
  EXPECT_EQ(n, ground.size());
  // The UTM file was made with an interpolated transformation that may be off by an eighth of a cell; ours is
  // exact to a hundredth. With 10 m cells on slopes of a fifth that is about a decimetre.
  EXPECT_LT(sum / static_cast<double>(n), 0.1);
  const RasterInfo info = raster_info(degrees);
  EXPECT_TRUE(info.geographic);
  EXPECT_NEAR(info.cell_m, 9, 1.0);
}

TEST_F(RealData, DurhamIsMaskedToItsWatershed) {
  const std::string degrees = (data / "place/durham/dem-ned1.tif").string();  // nodata -3.4e38
  const Grid utm = read_grid(data / "place/durham/dem-utm17.tif");
  EXPECT_EQ(facts(utm).valid, 47532u);
  const Facts f =
      facts(warp_values({{degrees}, ground_georef({raster_info(degrees)}, 30, std::nullopt, 0), false, 1},
                        Quantity::elevation_m));
  EXPECT_GT(f.low, 60);
  EXPECT_LT(f.high, 131);
  EXPECT_NEAR(f.mean, 99.9, 0.5);
  EXPECT_NEAR(static_cast<double>(f.valid), 47532, 300);
}

TEST_F(RealData, ZionDegreesWithUnsignedHoles) {
  const std::string path = (data / "terrain/srtm.tif").string();
  const Facts f = facts(warp_values(
      {{path}, ground_georef({raster_info(path)}, 90, std::nullopt, 0), false, 1}, Quantity::elevation_m));
  EXPECT_GE(f.low, 1024);
  EXPECT_LE(f.high, 2892);
}

TEST_F(RealData, CoverInAlbersAgreesWithItsOwnWarp) {
  const ClassGrid utm = read_classes(data / "place/durham/nlcd-utm17.tif");
  std::map<int, std::uint8_t> same;
  for (int i = 0; i < 255; ++i) same[i] = static_cast<std::uint8_t>(i);
  Georef target = utm.georef;
  target.epsg = 32617;
  const ClassGrid warped = warp_classes({(data / "place/durham/nlcd-albers.tif").string()}, target, same);
  std::size_t equal = 0;
  for (std::size_t i = 0; i < utm.codes.size(); ++i) equal += utm.codes[i] == warped.codes[i];
  EXPECT_GT(static_cast<double>(equal), 0.99 * static_cast<double>(utm.codes.size()));
}

TEST_F(RealData, GridInDegreesIsNotReadAsMetres) {
  EXPECT_EQ(code_of([&] { read_grid(data / "terrain/srtm.tif"); }), ErrorCode::bad_format);
}

}  // namespace
}  // namespace stumpwise::raster
