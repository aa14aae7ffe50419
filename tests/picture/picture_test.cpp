#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <set>

#include "stumpwise/base/error.h"
#include "stumpwise/picture/map.h"
#include "stumpwise/picture/relief.h"

namespace stumpwise::picture {
namespace {

using raster::Georef;
using raster::Grid;
using raster::Quantity;

Georef cells(int cols, int rows, double cell_m = 10) {
  return {500000, 5'100'000, cell_m, cols, rows, 32633};
}

Image noise(int width, int height) {
  Image image(width, height);
  for (auto& byte : image.rgba) byte = static_cast<std::uint8_t>(*rc::gen::inRange(0, 256));
  return image;
}

RC_GTEST_PROP(Png, DecodesToTheSamePixelsAndTheSameBytesComeAgain, ()) {
  const Image image = noise(*rc::gen::inRange(1, 30), *rc::gen::inRange(1, 30));
  const std::string png = encode_png(image);
  const Image back = decode_png(png);
  RC_ASSERT(back.width == image.width && back.height == image.height);
  RC_ASSERT(back.rgba == image.rgba);
  RC_ASSERT(encode_png(image) == png);
}

TEST(Png, WhatIsNoneOrCutOffIsAnError) {
  const std::string png = encode_png(Image(40, 40, {10, 20, 30, 255}));
  for (std::size_t length = 0; length < png.size(); length += 7)
    EXPECT_THROW(decode_png(png.substr(0, length)), Error) << length;
  EXPECT_THROW(decode_png("no picture"), Error);
  EXPECT_THROW(encode_png(Image(0, 4)), Error);
}

// RFC 4648 section 10.
TEST(Base64, PublishedVectors) {
  EXPECT_EQ(base64(""), "");
  EXPECT_EQ(base64("f"), "Zg==");
  EXPECT_EQ(base64("fo"), "Zm8=");
  EXPECT_EQ(base64("foo"), "Zm9v");
  EXPECT_EQ(base64("foobar"), "Zm9vYmFy");
  EXPECT_EQ(base64("\xff\xfe\xfd"), "//79");
}

TEST(Image, BlendsByItsAlpha) {
  Image image(1, 1, {0, 0, 0, 255});
  image.blend(0, 0, {200, 100, 50, 255}, 0.5);
  EXPECT_EQ(image.at(0, 0), (Colour{100, 50, 25, 255}));
  Image clear(1, 1);
  clear.blend(0, 0, {200, 100, 50, 128});
  EXPECT_EQ(clear.at(0, 0), (Colour{200, 100, 50, 128}));
  clear.blend(9, 9, {1, 1, 1, 255});  // outside: nothing
}

TEST(Image, ScalingKeepsCellsWhenLargerAndMeansWhenSmaller) {
  Image image(2, 1);
  image.set(0, 0, {10, 20, 30, 255});
  image.set(1, 0, {110, 120, 130, 255});
  const Image large = scaled_to_width(image, 6);
  EXPECT_EQ(large.height, 3);
  EXPECT_EQ(large.at(2, 1), image.at(0, 0));
  EXPECT_EQ(large.at(3, 2), image.at(1, 0));
  EXPECT_EQ(scaled_to_width(image, 1).at(0, 0), (Colour{60, 70, 80, 255}));
  image.set(1, 0, {0, 0, 0, 0});  // a clear pixel has no colour to mix in
  EXPECT_EQ(scaled_to_width(image, 1).at(0, 0), (Colour{10, 20, 30, 128}));
}

// check-values.md T11: Horn's window of a GIS vendor's page "How hillshade works", sun at 315 and 45 degrees.
TEST(Hillshade, PublishedWindow) {
  const double z[9] = {2450, 2461, 2483, 2452, 2461, 2483, 2447, 2455, 2477};
  EXPECT_NEAR(hillshade(terrain::horn_gradient(z, 5), 315, 45), 154.0287, 1e-3);
}

TEST(Hillshade, FlatGroundAndSlopesAwayFromTheLamp) {
  EXPECT_NEAR(hillshade({0, 0}, 315, 45), 255 * std::sin(M_PI / 4), 1e-9);
  EXPECT_EQ(hillshade({-5, -5}, 315, 45), 0);  // steeply down to the south-east
  EXPECT_NEAR(hillshade({1 / std::sqrt(2.0), 1 / std::sqrt(2.0)}, 315, 45), 255, 1e-9);
}

Grid hills(int cols, int rows) {
  Grid dem(cells(cols, rows), Quantity::elevation_m);
  for (int r = 0; r < rows; ++r)
    for (int c = 0; c < cols; ++c)
      dem.at(c, r) = static_cast<float>(400 + 60 * std::sin(c / 17.0) * std::cos(r / 13.0) + 0.4 * c +
                                        12 * std::sin((c + 2 * r) / 9.0));
  return dem;
}

TEST(Relief, LitSlopeIsBrighterHolesAreClearThreadsDoNotMatter) {
  Grid dem(cells(20, 20), Quantity::elevation_m);
  for (int r = 0; r < 20; ++r)
    for (int c = 0; c < 20; ++c) dem.at(c, r) = static_cast<float>(c < 10 ? 4 * c : 4 * (19 - c));
  dem.at(3, 3) = std::nanf("");
  const Image image = relief_image(dem);
  EXPECT_GT(lightness(image.at(6, 10)), lightness(image.at(14, 10)) + 10);  // the lamps stand in the west
  EXPECT_EQ(image.at(3, 3).alpha, 0);
  EXPECT_EQ(relief_image(hills(90, 70), {}, 1).rgba, relief_image(hills(90, 70), {}, 4).rgba);
}

TEST(Contours, OfAPlaneAreStraightAndEvenlySpaced) {
  Grid dem(cells(11, 6), Quantity::elevation_m);
  for (int r = 0; r < 6; ++r)
    for (int c = 0; c < 11; ++c) dem.at(c, r) = static_cast<float>(c) + 0.5f;
  const auto lines = contours(dem, 2);
  ASSERT_EQ(lines.size(), 5u);  // 2, 4, 6, 8, 10
  EXPECT_TRUE(lines[4].index);
  for (const Contour& line : lines) {
    EXPECT_EQ(line.line.size(), 6u);
    for (const auto& p : line.line) EXPECT_NEAR(p.x_m, 500000 + 10 * line.height_m, 1e-6);
  }
}

TEST(Contours, OfAConeAreClosedRings) {
  Grid dem(cells(61, 61), Quantity::elevation_m);
  for (int r = 0; r < 61; ++r)
    for (int c = 0; c < 61; ++c) dem.at(c, r) = static_cast<float>(100 - std::hypot(c - 30, r - 30));
  for (const Contour& ring : contours(dem, 7)) {
    const auto first = ring.line.front(), last = ring.line.back();
    if (100 - ring.height_m > 29) continue;  // cut by the edge
    EXPECT_EQ(first, last);
    for (const auto& p : ring.line)
      EXPECT_NEAR(std::hypot(p.x_m - dem.georef.x_of(30), p.y_m - dem.georef.y_of(30)),
                  10 * (100 - ring.height_m), 1.5);
  }
}

RC_GTEST_PROP(Contours, EveryPointHasTheHeight, ()) {
  Grid dem(cells(8, 7), Quantity::elevation_m);
  for (float& v : dem.values) v = static_cast<float>(*rc::gen::inRange(0, 100));
  dem.at(3, 3) = std::nanf("");
  for (const Contour& line : contours(dem, 10)) {
    RC_ASSERT(line.line.size() >= 2);
    for (const auto& p : line.line)
      if (const auto z = dem.bilinear(p.x_m, p.y_m)) RC_ASSERT(std::abs(*z - line.height_m) < 0.01);
  }
}

TEST(Contours, StepIsRoundAndFits) {
  EXPECT_EQ(contour_step_m(Grid(cells(3, 3), Quantity::elevation_m, 5)), 1);
  Grid dem(cells(2, 1), Quantity::elevation_m, 0);
  dem.at(1, 0) = 765;
  EXPECT_EQ(contour_step_m(dem), 50);
  EXPECT_THROW(contours(dem, 0), Error);
}

TEST(Ramp, DarkensEvenlyFromClassToClass) {
  const Ramp ramp(10);
  const auto& steps = ramp.legend();
  ASSERT_EQ(steps.size(), 7u);
  for (std::size_t i = 1; i < steps.size(); ++i) {
    const double fall = lightness(steps[i - 1].colour) - lightness(steps[i].colour);
    EXPECT_NEAR(fall, 64.0 / 6, 1.5) << i;
    EXPECT_GT(steps[i].from_per_ha, steps[i - 1].from_per_ha);
  }
  EXPECT_DOUBLE_EQ(steps.back().from_per_ha, 10);
}

TEST(Ramp, ColoursAreToldApartWithoutRedOrGreen) {
  // With red and green seen as one, blue and lightness are left: neighbours must differ in their mean or in
  // blue.
  const Ramp ramp(1);
  for (std::size_t i = 1; i < ramp.legend().size(); ++i) {
    const Colour a = ramp.legend()[i - 1].colour, b = ramp.legend()[i].colour;
    EXPECT_GT(std::abs((a.red + a.green) / 2 - (b.red + b.green) / 2) + std::abs(a.blue - b.blue), 15) << i;
  }
}

TEST(Ramp, ClassesFollowTheMap) {
  Grid map(cells(10, 10), Quantity::finds_per_ha, 0.3f);
  for (int i = 0; i < 10; ++i) map.values[static_cast<std::size_t>(i)] = 3.7f;
  const Ramp ramp = Ramp::for_grid(map);
  EXPECT_DOUBLE_EQ(ramp.legend().back().from_per_ha, 2);
  EXPECT_EQ(ramp.legend()[4].label, "0.5 to 1");
  EXPECT_EQ(ramp.colour(0.7), ramp.legend()[4].colour);
  EXPECT_EQ(ramp.colour(1e9), ramp.legend()[6].colour);
  EXPECT_EQ(ramp.colour(0.001).alpha, 0);
  EXPECT_EQ(ramp.colour(std::nan("")).alpha, 0);
  EXPECT_EQ(Ramp::for_grid(Grid(cells(2, 2), Quantity::finds_per_ha)).legend().size(), 7u);
}

RC_GTEST_PROP(Ramp, TopClassReachesTheHighest, ()) {
  const double highest = std::pow(10.0, *rc::gen::inRange(-300, 400) / 100.0);
  const double top = Ramp(highest).legend().back().from_per_ha;
  RC_ASSERT(top <= highest * 1.000001 && highest < top * 2.6);
}

TEST(Prospect, ExtrapolatedCellsAreHatchedNotOnlyColoured) {
  const Grid map(cells(30, 30), Quantity::finds_per_ha, 1);
  Grid guessed(cells(30, 30), Quantity::flag, 0);
  for (int r = 0; r < 30; ++r)
    for (int c = 15; c < 30; ++c) guessed.at(c, r) = 1;
  const Image image = prospect_image(map, &guessed, Ramp(1));
  std::set<std::string> known, unknown;
  for (int r = 0; r < 30; ++r)
    for (int c = 0; c < 30; ++c) (c < 15 ? known : unknown).insert(hex(image.at(c, r)));
  EXPECT_EQ(known.size(), 1u);
  EXPECT_EQ(unknown.size(), 2u);
}

struct Map : ::testing::Test {
  Grid dem = hills(160, 120), prospect{dem.georef, Quantity::finds_per_ha, 0},
       guessed{dem.georef, Quantity::flag, 0}, wall{dem.georef, Quantity::flag, 0},
       water{dem.georef, Quantity::flag, 0};
  MapContent content;
  void SetUp() override {
    for (int r = 0; r < 120; ++r)
      for (int c = 0; c < 160; ++c) {
        prospect.at(c, r) =
            static_cast<float>(4 * std::exp(-(std::pow(c - 60, 2) + std::pow(r - 50, 2)) / 900.0) +
                               2 * std::exp(-(std::pow(c - 120, 2) + std::pow(r - 80, 2)) / 500.0));
        guessed.at(c, r) = c > 110 ? 1.0f : 0.0f;
        water.at(c, r) = wall.at(c, r) = std::abs(r - 100 - c / 12) < 3 ? 1.0f : 0.0f;
        if (c > 20 && c < 34 && r > 20 && r < 40) wall.at(c, r) = 1;
      }
    content.dem = &dem;
    content.prospect = &prospect;
    content.extrapolated = &guessed;
    content.wall = &wall;
    content.water = &water;
    content.start = at(20, 60);
    content.route = {{{at(20, 60), at(45, 65), at(60, 50), at(90, 60), at(118, 78)}, false},
                     {{at(118, 78), at(80, 88), at(20, 60)}, true}};
    content.stops = {{at(60, 50), "1", "back by 11:40"}, {at(118, 78), "2", "back by 13:05 <&>"}};
    content.convergence_deg = 1.2;
    content.title = "Walk <1>";
  }
  earth::PlanePoint at(int col, int row) const { return {dem.georef.x_of(col), dem.georef.y_of(row)}; }
};

TEST_F(Map, FrameHoldsTheRouteAndItsMargin) {
  const Georef frame = map_frame(content, {});
  for (const MapLine& line : content.route)
    for (const auto& p : line.points) EXPECT_TRUE(frame.contains(p.x_m, p.y_m));
  EXPECT_EQ(frame.left_m, dem.georef.left_m);  // 205 m to the edge: no more land there
  EXPECT_EQ(frame.cols, 118 + 1 + 25);
  MapStyle whole;
  whole.whole_ground = true;
  EXPECT_EQ(map_frame(content, whole), dem.georef);
  content.route.clear();
  content.stops.clear();
  content.start = at(80, 60);
  EXPECT_GE(map_frame(content, {}).cols * 10, 500);
}

TEST_F(Map, SvgHoldsEveryPartEscapedAndThePictureWithin) {
  const std::string svg = map_svg(content);
  for (const char* part :
       {"class=\"contours\"", "class=\"route\"", "class=\"stops\"", "class=\"scale\"", "class=\"north\"",
        "class=\"legend\"", "back by 11:40", "stroke-dasharray", "outside what is known", "no way through",
        "Walk &lt;1&gt;", "13:05 &lt;&amp;&gt;"})
    EXPECT_NE(svg.find(part), std::string::npos) << part;
  EXPECT_EQ(svg.find("<script"), std::string::npos);
  EXPECT_EQ(svg.find("Walk <1>"), std::string::npos);
  EXPECT_NE(svg.find("data:image/png;base64,iVBORw0KGgo"), std::string::npos);
  EXPECT_EQ(svg, map_svg(content));
  MapStyle four;
  four.threads = 4;
  EXPECT_EQ(svg, map_svg(content, four));
}

TEST_F(Map, PixelsShowRouteStopsAndProspect) {
  MapStyle style;
  style.width_px = 720;
  style.contours = false;
  const Image image = map_image(content, style);
  EXPECT_EQ(image.width, 720);
  const Georef frame = map_frame(content, style);
  auto pixel = [&](const earth::PlanePoint& p) {
    const double scale = 720.0 / frame.cols / frame.cell_m;
    return image.at(static_cast<int>((p.x_m - frame.left_m) * scale),
                    static_cast<int>((frame.top_m - p.y_m) * scale));
  };
  EXPECT_LT(lightness(pixel({(at(20, 60).x_m + at(45, 65).x_m) / 2, (at(20, 60).y_m + at(45, 65).y_m) / 2})),
            30);  // on the way
  EXPECT_LT(lightness(pixel(at(66, 42))),
            lightness(pixel(at(5, 80))) - 20);  // high prospect is darker than bare relief
  const Colour water_colour = pixel(at(60, 106));
  EXPECT_GT(water_colour.blue, water_colour.red);
  EXPECT_GT(lightness(pixel({at(60, 50).x_m - 15, at(60, 50).y_m})), 80);  // white inside the stop's disc
}

TEST_F(Map, WorksWithTheDemAlone) {
  MapContent bare;
  EXPECT_THROW(map_svg(bare), Error);
  bare.dem = &dem;
  EXPECT_NE(map_svg(bare).find("</svg>"), std::string::npos);
  EXPECT_GT(map_image(bare).height, 100);
  const Grid other(cells(3, 3), Quantity::finds_per_ha, 1);
  bare.prospect = &other;
  EXPECT_THROW(map_svg(bare), Error);
}

TEST(ScaleBar, IsRound) {
  EXPECT_DOUBLE_EQ(scale_bar_m(999), 500);
  EXPECT_DOUBLE_EQ(scale_bar_m(1000), 1000);
  EXPECT_DOUBLE_EQ(scale_bar_m(260), 200);
  EXPECT_DOUBLE_EQ(scale_bar_m(0.3), 0.2);
  EXPECT_THROW(scale_bar_m(0), Error);
}

}  // namespace
}  // namespace stumpwise::picture
