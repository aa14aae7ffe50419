#include <gtest/gtest.h>

#include "helpers.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/vector.h"

namespace stumpwise::raster {
namespace {

using namespace testing_help;

struct Shapes : ::testing::Test {
  base::TemporaryFolder folder;
  std::string file(const std::string& name, const std::string& text) {
    write_text(folder.path() / name, text);
    return (folder.path() / name).string();
  }
  std::string features(const std::string& list) {
    return file("x.geojson", R"({"type":"FeatureCollection","features":[)" + list + "]}");
  }
};

TEST_F(Shapes, LongitudeAndLatitudeAreNotSwapped) {
  const auto parsed = read_shapes(
      features(
          R"({"type":"Feature","properties":{"Genus":"Ulmus","year":1999,"day":null},"geometry":{"type":"Point","coordinates":[15.1,45.2]}})"),
      32633);
  ASSERT_TRUE(parsed.ok());
  ASSERT_EQ(parsed.value.size(), 1u);
  const auto expected = earth::Utm::from_epsg(32633).forward({.lat_deg = 45.2, .lon_deg = 15.1});
  EXPECT_NEAR(parsed.value[0].rings[0][0].x_m, expected.x_m, 1e-3);
  EXPECT_NEAR(parsed.value[0].rings[0][0].y_m, expected.y_m, 1e-3);
  EXPECT_EQ(parsed.value[0].attributes,
            (std::map<std::string, std::string>{{"genus", "Ulmus"}, {"year", "1999"}}));
}

TEST_F(Shapes, PartsShareAttributesAndHolesStay) {
  const auto parsed = read_shapes(
      features(
          R"({"type":"Feature","properties":{"kind":"open"},"geometry":{"type":"MultiPolygon","coordinates":[
    [[[15,45],[15.1,45],[15.1,45.1],[15,45.1],[15,45]],[[15.02,45.02],[15.02,45.04],[15.04,45.04],[15.04,45.02],[15.02,45.02]]],
    [[[15.2,45],[15.3,45],[15.3,45.1],[15.2,45]]]]}},
    {"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[15,45,100],[15.1,45,200],[15.2,45.1,300]]}})"),
      32633);
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  ASSERT_EQ(parsed.value.size(), 3u);
  EXPECT_EQ(parsed.value[0].rings.size(), 2u);
  EXPECT_EQ(parsed.value[1].attributes.at("kind"), "open");
  EXPECT_EQ(parsed.value[2].kind, ShapeKind::line);
  EXPECT_EQ(parsed.value[2].rings[0].size(), 3u);
}

TEST_F(Shapes, BrokenGeometriesAreNamedAndTheRestIsRead) {
  const auto parsed = read_shapes(features(R"({"type":"Feature","properties":{},"geometry":null},
    {"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[[[15,45],[15.1,45.1],[15.1,45],[15,45.1],[15,45]]]}},
    {"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[15,45]}})"),
                                  32633);
  EXPECT_TRUE(parsed.ok());
  EXPECT_EQ(parsed.value.size(), 2u);
  EXPECT_EQ(parsed.issues.size(), 2u) << base::to_text(parsed.issues);
}

TEST_F(Shapes, WhatLiesOutsideTheGroundIsLeftOut) {
  const auto middle = earth::Utm::from_epsg(32633).forward({.lat_deg = 45.2, .lon_deg = 15.1});
  const Georef clip{middle.x_m - 500, middle.y_m + 500, 10, 100, 100, 32633};
  const auto parsed = read_shapes(
      features(R"({"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[15.1,45.2]}},
    {"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[-120,-40]}},
    {"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[15.2,45.2]}})"),
      32633, &clip);
  EXPECT_EQ(parsed.value.size(), 1u);
  EXPECT_TRUE(parsed.issues.empty()) << base::to_text(parsed.issues);
}

TEST_F(Shapes, TrackOfAReceiverIsALineNotItsPoints) {
  const auto parsed = read_shapes(
      file(
          "t.gpx",
          R"(<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">
    <wpt lat="45.2" lon="15.1"><name>elm</name></wpt>
    <trk><trkseg><trkpt lat="45.2" lon="15.1"/><trkpt lat="45.21" lon="15.1"/><trkpt lat="45.22" lon="15.11"/></trkseg></trk></gpx>)"),
      32633);
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  ASSERT_EQ(parsed.value.size(), 2u);
  EXPECT_EQ(parsed.value[0].attributes.at("name"), "elm");
  EXPECT_EQ(parsed.value[1].kind, ShapeKind::line);
}

TEST_F(Shapes, MissingAndBrokenFilesAreErrors) {
  EXPECT_THROW(read_shapes((folder.path() / "none.gpkg").string(), 32633), Error);
  EXPECT_THROW(read_shapes(file("bad.gpkg", "SQLite format 3 but not really"), 32633), Error);
  EXPECT_THROW(
      read_shapes(file("bad.geojson", R"({"type":"FeatureCollection","features":[{"type":"Fea)"), 32633),
      Error);
}

TEST_F(Shapes, SagehenStreamsHaveTheirLength) {
  const auto data = shared_data();
  if (data.empty()) GTEST_SKIP() << "shared data are absent";
  const auto parsed = read_shapes((data / "place/sagehen/streams.gpkg").string(), 32610);
  ASSERT_TRUE(parsed.ok());
  EXPECT_GE(parsed.value.size(), 182u);
  double length_km = 0;
  for (const Shape& shape : parsed.value)
    for (std::size_t i = 1; i < shape.rings[0].size(); ++i)
      length_km += std::hypot(shape.rings[0][i].x_m - shape.rings[0][i - 1].x_m,
                              shape.rings[0][i].y_m - shape.rings[0][i - 1].y_m) /
                   1000;
  EXPECT_NEAR(length_km, 3.67 + 6.527 + 62.37 + 0.301, 0.15);  // sums of LENGTHKM in the data's README
}

}  // namespace
}  // namespace stumpwise::raster
