// Three real places (../shared/data/place/README.md), from the user's files to the walk, checked with GDAL's
// own tools.
#include <cmath>

#include "run.h"

namespace stumpwise::e2e {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

fs::path place(const std::string& name) {
  return shared_data() / "place" / name;
}

/// Weather of Sagehen Creek: the stream gage's coordinates and the header's 6340 ft, as the README advises.
void add_sagehen_weather(const Desk& desk) {
  const Json answer =
      desk.json({"weather", "add", place("sagehen/weather-daily.csv"), "--station", "Sagehen Creek", "--lat",
                 "39.43157", "--lon", "-120.23800", "--elev", "1932"});
  // README: 19631 days, 1953-10-01 to 2007-06-30.
  EXPECT_EQ(answer.at("days"), 19631);
  EXPECT_EQ(answer.at("first"), "1953-10-01");
  EXPECT_EQ(answer.at("last"), "2007-06-30");
}

/// Slope and aspect in the book against gdaldem on the book's own reprojected elevation: inside, away from
/// holes.
void compare_with_gdaldem(const Desk& desk, const std::string& ground) {
  const std::string folder = desk.path("my.files/" + ground + "/"), dem_file = folder + "dem.tif";
  for (const std::string product : {"slope", "aspect"})
    ASSERT_EQ(desk.tool("gdaldem",
                        {product, dem_file, desk.path("ref_" + product + ".tif"), "-compute_edges", "-q"})
                  .status,
              0);
  const Json info = gdalinfo(desk, dem_file);
  const auto cols = info.at("size").at(0).get<std::size_t>(), rows = info.at("size").at(1).get<std::size_t>();
  const auto dem = raw_band(desk, dem_file), slope = raw_band(desk, folder + "derived/slope.tif"),
             aspect = raw_band(desk, folder + "derived/aspect.tif");
  const auto ref_slope = raw_band(desk, desk.path("ref_slope.tif")),
             ref_aspect = raw_band(desk, desk.path("ref_aspect.tif"));
  ASSERT_EQ(dem.size(), cols * rows);
  ASSERT_EQ(slope.size(), dem.size());
  ASSERT_EQ(ref_slope.size(), dem.size());
  std::size_t compared = 0, aspects = 0;
  double worst_slope_deg = 0, worst_aspect_deg = 0;
  for (std::size_t r = 1; r + 1 < rows; ++r) {
    for (std::size_t c = 1; c + 1 < cols; ++c) {
      bool whole = true;
      for (std::size_t y = r - 1; y <= r + 1; ++y)
        for (std::size_t x = c - 1; x <= c + 1; ++x) whole = whole && std::isfinite(dem[y * cols + x]);
      if (!whole) continue;
      const std::size_t i = r * cols + c;
      ASSERT_TRUE(std::isfinite(slope[i])) << "row " << r << " column " << c;
      worst_slope_deg = std::max(worst_slope_deg, static_cast<double>(std::abs(slope[i] - ref_slope[i])));
      ++compared;
      if (ref_slope[i] <= 0.5f) continue;
      const double apart = std::abs(std::remainder(static_cast<double>(aspect[i]) - ref_aspect[i], 360.0));
      ASSERT_TRUE(std::isfinite(apart)) << "row " << r << " column " << c;
      worst_aspect_deg = std::max(worst_aspect_deg, apart);
      ++aspects;
    }
  }
  EXPECT_GT(compared, 100'000u);
  EXPECT_GT(aspects, compared / 3);
  EXPECT_LT(worst_slope_deg, 2e-3);
  EXPECT_LT(worst_aspect_deg, 0.2);
}

/// Four bands on the ground's own grid, NaN where nothing is known, and the numbers that the answer tells.
void check_prospect_map(const Desk& desk, const std::string& ground, const std::string& map,
                        const Json& answer) {
  const Json info = gdalinfo(desk, map), dem = gdalinfo(desk, desk.path("my.files/" + ground + "/dem.tif"));
  EXPECT_EQ(info.at("size"), dem.at("size"));
  EXPECT_EQ(info.at("geoTransform"), dem.at("geoTransform"));
  EXPECT_EQ(info.at("coordinateSystem").at("wkt"), dem.at("coordinateSystem").at("wkt"));
  ASSERT_EQ(info.at("bands").size(), 4u);
  for (const Json& band : info.at("bands")) {
    EXPECT_EQ(band.at("type"), "Float32");
    EXPECT_EQ(band.at("noDataValue"), "NaN");
  }
  const auto median = raw_band(desk, map, 1), low = raw_band(desk, map, 2), high = raw_band(desk, map, 3),
             far = raw_band(desk, map, 4);
  std::vector<float> known;
  std::size_t guesses = 0, disorder = 0;
  for (std::size_t i = 0; i < median.size(); ++i) {
    if (std::isnan(median[i])) continue;
    known.push_back(median[i]);
    guesses += far[i] == 1.0f;
    disorder +=
        !(0 <= low[i] && low[i] <= median[i] && median[i] <= high[i] && (far[i] == 0.0f || far[i] == 1.0f));
  }
  EXPECT_EQ(disorder, 0u);
  EXPECT_EQ(answer.at("cells").get<std::size_t>(), known.size());
  EXPECT_NEAR(answer.at("extrapolated_share").get<double>(),
              static_cast<double>(guesses) / static_cast<double>(known.size()), 1e-4);
  const auto middle = known.begin() + static_cast<std::ptrdiff_t>(known.size() / 2);
  std::nth_element(known.begin(), middle, known.end());
  EXPECT_NEAR(answer.at("median_finds_per_ha").at("p50").get<double>(), *middle,
              2e-5 + 0.01 * static_cast<double>(*middle));
  EXPECT_GT(*std::max_element(known.begin(), known.end()), *middle)
      << "a map that is the same everywhere is none";
}

/// GDAL reads the GPX: a waypoint for each stop, one route point or more for each leg, all near the start.
void check_gpx(const Desk& desk, const std::string& file, const Json& plan) {
  const auto summary = [&](const std::string& layer) {
    const Answer answer = desk.tool("ogrinfo", {"-ro", "-so", file, layer});
    EXPECT_EQ(answer.status, 0) << answer.err;
    return answer.out;
  };
  const auto count = [](const std::string& text) {
    const auto at = text.find("Feature Count: ");
    return at == std::string::npos ? -1 : std::atoi(text.c_str() + at + 15);
  };
  const int stops = static_cast<int>(plan.at("stops").size());
  EXPECT_GE(count(summary("waypoints")), stops);
  EXPECT_GE(count(summary("routes")), 1);
  std::size_t line_points = 0;
  for (const Json& leg : plan.at("legs")) line_points += leg.at("line").size();
  const std::string points = summary("route_points");
  EXPECT_GT(count(points), static_cast<int>(line_points) / 2);
  double west = 0, south = 0, east = 0, north = 0;
  ASSERT_EQ(std::sscanf(points.c_str() + points.find("Extent: "), "Extent: (%lf, %lf) - (%lf, %lf)", &west,
                        &south, &east, &north),
            4);
  const double lat = plan.at("start").at("lat").get<double>(), lon = plan.at("start").at("lon").get<double>();
  EXPECT_LT(
      std::max({std::abs(west - lon), std::abs(east - lon), std::abs(south - lat), std::abs(north - lat)}),
      0.15);
  EXPECT_TRUE(south <= lat + 1e-6 && lat <= north + 1e-6 && west <= lon + 1e-6 && lon <= east + 1e-6)
      << "the route leaves from the start";
}

/// The printed sheet says each turn-back time and every caution of the answer.
void check_sheet(const std::string& file, const Json& plan) {
  std::string sheet = unwrapped(base::read_file(file));
  for (const auto& [from, to] :
       {std::pair<std::string, std::string>{"&quot;", "\""}, {"&#39;", "'"}, {"&amp;", "&"}})
    for (auto at = sheet.find(from); at != std::string::npos; at = sheet.find(from, at))
      sheet.replace(at, from.size(), to);
  for (const Json& stop : plan.at("stops"))
    EXPECT_THAT(sheet, HasSubstr(stop.at("turn_back").get<std::string>().substr(11, 5)));
  for (const Json& caution : plan.at("cautions"))
    EXPECT_THAT(sheet, HasSubstr(unwrapped(caution.at("text").get<std::string>()))) << caution.at("id");
}

void check_walk(const Json& plan) {
  ASSERT_FALSE(plan.at("stops").empty());
  EXPECT_EQ(plan.at("legs").size(), plan.at("stops").size() + 1);
  EXPECT_LE(plan.at("end_time").get<std::string>(), plan.at("deadline").get<std::string>());
  EXPECT_LT(plan.at("deadline").get<std::string>(), plan.at("sunset").get<std::string>());
  EXPECT_LT(plan.at("sunset").get<std::string>(), plan.at("civil_dusk").get<std::string>());
  for (const Json& stop : plan.at("stops")) {
    EXPECT_LT(stop.at("arrive").get<std::string>(), stop.at("leave_by").get<std::string>());
    EXPECT_LE(stop.at("leave_by").get<std::string>(), stop.at("turn_back").get<std::string>());
    EXPECT_LE(stop.at("low90").get<double>(), stop.at("median_finds").get<double>());
    EXPECT_LE(stop.at("median_finds").get<double>(), stop.at("high90").get<double>());
  }
  EXPECT_GT(plan.at("total").at("median_finds").get<double>(), 0);
}

class RealPlace : public testing::Test {
 protected:
  void SetUp() override {
    if (shared_data().empty()) GTEST_SKIP() << "the shared data (data/place) is not here";
    if (!has_tool("gdalinfo") || !has_tool("gdaldem")) GTEST_SKIP() << "GDAL's tools are not here";
  }
};

TEST_F(RealPlace, SagehenFromElevationForestStreamsAndWeatherToTheWalk) {
  const Desk desk("1995-06-10");
  const Json ground = desk.json({"ground", "add", "sagehen", "--dem", place("sagehen/dem-utm10.tif"),
                                 "--cover", place("sagehen/evt-utm10.tif"), "--legend", "evt-sierra",
                                 "--streams", place("sagehen/streams.gpkg"), "--region", "NA-W", "--tz",
                                 "America/Los_Angeles", "--cell", "10"});
  // README: 783 x 681 cells of 10 m.
  EXPECT_NEAR(ground.at("cols").get<double>(), 783, 2);
  EXPECT_NEAR(ground.at("rows").get<double>(), 681, 2);
  add_sagehen_weather(desk);

  const Json outlook = desk.json({"outlook", "--days", "5"});
  ASSERT_FALSE(outlook.at("species").empty());
  for (const Json& species : outlook.at("species")) {
    ASSERT_EQ(species.at("days").size(), 5u);
    EXPECT_EQ(species.at("days").at(0).at("date"), "1995-06-10");
    for (const Json& day : species.at("days")) {
      EXPECT_LE(day.at("low90").get<double>(), day.at("index").get<double>());
      EXPECT_LE(day.at("index").get<double>(), day.at("high90").get<double>());
      EXPECT_FALSE(day.at("limit").get<std::string>().empty());
    }
  }
  EXPECT_FALSE(outlook.at("station").at("far").get<bool>());
  EXPECT_LT(outlook.at("station").at("distance_km").get<double>(), 5)
      << "README: the station stands 4.1 km from the centre";
  EXPECT_THAT(caution_ids(outlook), Not(Contains("far-station")));
  EXPECT_THAT(caution_ids(outlook), Contains("no-local-records"));

  const Json prospect =
      desk.json({"prospect", "--species", "E01", "--date", "1995-06-10", "--out", desk.path("e01.tif")});
  check_prospect_map(desk, "sagehen", desk.path("e01.tif"), prospect);
  compare_with_gdaldem(desk, "sagehen");

  const Json plan = desk.json({"plan", "--start", "39.432,-120.27", "--hours", "4", "--gpx",
                               desk.path("walk.gpx"), "--sheet", desk.path("walk.html")});
  check_walk(plan);
  check_gpx(desk, desk.path("walk.gpx"), plan);
  check_sheet(desk.path("walk.html"), plan);
  EXPECT_THAT(plan.at("depart").get<std::string>(), HasSubstr("1995-06-10T09:00")) << "in the ground's zone";
  EXPECT_THAT(plan.at("depart").get<std::string>(), HasSubstr("-07:00"));
}

TEST_F(RealPlace, SagehenInDegreesIsReprojectedAsGdalwarpDoes) {
  const Desk desk("1995-06-10");
  desk.json({"ground", "add", "degrees", "--dem", place("sagehen/dem-nad83.tif"), "--cover",
             place("sagehen/evt-albers.tif"), "--legend", "evt-sierra", "--around", "39.433,-120.277,2.5",
             "--region", "NA-W", "--tz", "America/Los_Angeles", "--cell", "10"});
  compare_with_gdaldem(desk, "degrees");
  const std::string ours = desk.path("my.files/degrees/dem.tif");
  const Json info = gdalinfo(desk, ours);
  EXPECT_THAT(info.at("coordinateSystem").at("wkt").get<std::string>(), HasSubstr("UTM zone 10N"));
  const auto corner = [&](int i) {
    return std::to_string(info.at("geoTransform").at(static_cast<std::size_t>(i)).get<double>());
  };
  const double left = info.at("geoTransform").at(0).get<double>(),
               top = info.at("geoTransform").at(3).get<double>();
  const double right = left + 10 * info.at("size").at(0).get<double>(),
               bottom = top - 10 * info.at("size").at(1).get<double>();
  const Answer warp = desk.tool("gdalwarp", {"-q",
                                             "-t_srs",
                                             "EPSG:32610",
                                             "-r",
                                             "bilinear",
                                             "-et",
                                             "0",
                                             "-te",
                                             corner(0),
                                             std::to_string(bottom),
                                             std::to_string(right),
                                             corner(3),
                                             "-tr",
                                             "10",
                                             "10",
                                             "-ot",
                                             "Float32",
                                             "-dstnodata",
                                             "-9999",
                                             place("sagehen/dem-nad83.tif"),
                                             desk.path("warped.tif")});
  ASSERT_EQ(warp.status, 0) << warp.err;
  const auto mine = raw_band(desk, ours), theirs = raw_band(desk, desk.path("warped.tif"));
  ASSERT_EQ(mine.size(), theirs.size());
  double worst_m = 0;
  for (std::size_t i = 0; i < mine.size(); ++i)
    if (std::isfinite(mine[i]) && theirs[i] > -9000)
      worst_m = std::max(worst_m, static_cast<double>(std::abs(mine[i] - theirs[i])));
  EXPECT_LT(worst_m, 0.5)
      << "the land is up to 40 degrees steep: half a metre of height is less than a tenth of a cell";
  // README: nearly all conifer, from 1851.7 to 2677.1 m.
  const auto [low, high] = std::minmax_element(mine.begin(), mine.end());
  EXPECT_GT(*low, 1851);
  EXPECT_LT(*high, 2678);

  add_sagehen_weather(desk);
  const Json prospect =
      desk.json({"prospect", "--species", "E14", "--date", "1995-06-10", "--out", desk.path("e14.tif")});
  check_prospect_map(desk, "degrees", desk.path("e14.tif"), prospect);
  check_walk(desk.json({"plan", "--start", "39.433,-120.277", "--hours", "3"}));
}

TEST_F(RealPlace, CarvinsCoveHasNoCoverAndItsStationSpeaksFahrenheitAndInches) {
  const Desk desk("2024-05-05");
  const std::vector<std::string> add{"ground",
                                     "add",
                                     "carvins",
                                     "--dem",
                                     place("carvins-cove/dem-utm17.tif"),
                                     "--around",
                                     "37.395,-80.01,4",
                                     "--region",
                                     "NA-E",
                                     "--tz",
                                     "America/New_York"};
  EXPECT_THAT(notes_of(desk.json(add)), HasSubstr("the band is wide"));
  compare_with_gdaldem(desk, "carvins");
  const Json weather = desk.json({"weather", "add", place("carvins-cove/USW00013741-daily.csv")});
  EXPECT_EQ(weather.at("days"), 3434) << "README: 3434 days";
  EXPECT_THAT(notes_of(weather), HasSubstr("°F and inches"));
  // README: the station stands at 37.31719 N, 79.97369 W, 346.7 m.
  EXPECT_NEAR(weather.at("station").at("lat").get<double>(), 37.31719, 1e-5);
  EXPECT_NEAR(weather.at("station").at("lon").get<double>(), -79.97369, 1e-5);
  EXPECT_NEAR(weather.at("station").at("elevation_m").get<double>(), 346.7, 0.05);

  // The same file with its columns named by hand: units are told apart alike. Only near, since the archive's
  // own form also gives the mean of the hours (TAVG), which the three columns do not.
  const Json outlook = desk.json({"outlook", "--species", "E02", "--days", "1"});
  Desk by_hand("2024-05-05");
  by_hand.json(add);
  by_hand.json({"weather", "add", place("carvins-cove/USW00013741-daily.csv"), "--station", "Roanoke",
                "--lat", "37.31719", "--lon", "-79.97369", "--elev", "346.7", "--columns",
                "date=DATE,tmin=TMIN:degf,tmax=TMAX:degf,precip=PRCP:in"});
  const auto index = [](const Json& answer) {
    return answer.at("species").at(0).at("days").at(0).at("index").get<double>();
  };
  const double typed = index(by_hand.json({"outlook", "--species", "E02", "--days", "1"}));
  EXPECT_NEAR(typed, index(outlook), 0.01);
  EXPECT_GT(typed, 0.05) << "a day on which nothing could come up would prove nothing";
  EXPECT_FALSE(outlook.at("station").at("far").get<bool>());

  const Json prospect =
      desk.json({"prospect", "--species", "E02", "--date", "2024-05-05", "--out", desk.path("e02.tif")});
  EXPECT_THAT(notes_of(prospect), HasSubstr("the band is wide"));
  EXPECT_EQ(prospect.at("extrapolated_share"), 1.0) << "no cover, so every number is a guess";
  EXPECT_THAT(caution_ids(prospect), Contains("extrapolated"));
  const Json plan = desk.json({"plan", "--start", "37.40,-80.02", "--hours", "4"});
  check_walk(plan);
  EXPECT_THAT(notes_of(plan), HasSubstr("the band is wide"));
  const Answer told = desk.run({"plan", "--start", "37.40,-80.02", "--hours", "4"});
  EXPECT_EQ(told.status, 0);
  EXPECT_THAT(unwrapped(told.out), HasSubstr("hosts come from your own records alone, and the band is wide"));
  EXPECT_GT(plan.at("total").at("high90").get<double>(),
            5 * plan.at("total").at("median_finds").get<double>());
}

TEST_F(RealPlace, DurhamInDegreesAndAlbersWithItsStationTooFarAway) {
  const Desk desk("2024-05-05");
  const Json ground = desk.json({"ground", "add", "durham", "--dem", place("durham/dem-ned1.tif"), "--cover",
                                 place("durham/nlcd-albers.tif"), "--legend", "nlcd", "--streams",
                                 place("durham/streams.gpkg"), "--region", "NA-E", "--tz", "America/New_York",
                                 "--cell", "20"});
  EXPECT_THAT(notes_of(ground), HasSubstr("has no elevation"))
      << "README: the DEM is masked to the watershed";
  EXPECT_THAT(notes_of(ground), HasSubstr("the band is wide"));
  const Json weather =
      desk.json({"weather", "add", place("carvins-cove/USW00013741-daily.csv"), "--station", "Roanoke"});
  EXPECT_THAT(notes_of(weather), HasSubstr("durham: station Roanoke stands"));
  compare_with_gdaldem(desk, "durham");
  const Json plan = desk.json({"plan", "--start", "35.95,-78.92", "--hours", "4"});
  check_walk(plan);
  for (const Json& answer : {plan, desk.json({"outlook", "--days", "1"}),
                             desk.json({"prospect", "--species", "E01", "--out", desk.path("p.tif")})}) {
    EXPECT_TRUE(answer.at("station").at("far").get<bool>());
    // Roanoke's airport (37.317 N, 79.974 W) to Third Fork Creek (35.95 N, 78.92 W): about 179 km on the
    // globe.
    EXPECT_NEAR(answer.at("station").at("distance_km").get<double>(), 179, 3);
    EXPECT_THAT(answer.at("station").at("warning").get<std::string>(), HasSubstr("km away"));
    EXPECT_THAT(caution_ids(answer), Contains("far-station"));
  }
  EXPECT_THAT(unwrapped(desk.run({"plan", "--start", "35.95,-78.92", "--hours", "4"}).out),
              HasSubstr("station Roanoke stands 179 km away"));
}

}  // namespace
}  // namespace stumpwise::e2e
