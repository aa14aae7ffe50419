#include "stumpwise/demo/valley.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <map>
#include <set>

#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"
#include "stumpwise/demo/sites.h"
#include "stumpwise/earth/geodesic.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/earth/sun.h"
#include "stumpwise/earth/zone.h"
#include "stumpwise/exchange/gpx.h"
#include "stumpwise/raster/file.h"
#include "stumpwise/raster/vector.h"
#include "stumpwise/weather/read.h"

namespace stumpwise::demo {
namespace {

namespace fs = std::filesystem;
using earth::PlanePoint;
using raster::Shape;

/// The valley of seed 1, made once. STUMPWISE_DEMO_KEEP names a folder to keep it in, to look at;
/// STUMPWISE_DEMO_SEED another seed, to try (the counts of finds are those of seed 1).
class ValleyTest : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    if (folder_) return;
    folder_ = new base::TemporaryFolder;
    const char* keep = std::getenv("STUMPWISE_DEMO_KEEP");
    const char* seed = std::getenv("STUMPWISE_DEMO_SEED");
    const auto begin = std::chrono::steady_clock::now();
    valley_ = new Valley(make_valley(keep ? fs::path(keep) : folder_->path() / "vale",
                                     static_cast<std::uint64_t>(seed ? std::atoi(seed) : 1)));
    seconds_ = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    dem_ = new raster::Grid(raster::read_grid(valley_->dem));
  }
  static void TearDownTestSuite() {
    delete dem_;
    delete valley_;
    delete folder_;
    dem_ = nullptr;
    valley_ = nullptr;
    folder_ = nullptr;
  }
  static PlanePoint plane(const LatLon& place) { return earth::Utm::from_epsg(32626).forward(place); }
  static std::vector<Shape> shapes(const fs::path& file) {
    auto parsed = raster::read_shapes(file.string(), 32626);
    EXPECT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
    return parsed.value;
  }
  static exchange::Gpx track_of(const Valley::Trip& trip) {
    auto parsed = exchange::read_gpx(base::read_file(trip.gpx), trip.gpx.filename().string());
    EXPECT_TRUE(parsed.issues.empty()) << base::to_text(parsed.issues);
    return parsed.value;
  }
  /// Horn's slope in degrees inside the map.
  static double slope_deg(int c, int r) {
    const auto z = [&](int dc, int dr) { return static_cast<double>(dem_->at(c + dc, r + dr)); };
    const double dx = (z(1, -1) + 2 * z(1, 0) + z(1, 1) - z(-1, -1) - 2 * z(-1, 0) - z(-1, 1)) / 80;
    const double dy = (z(-1, 1) + 2 * z(0, 1) + z(1, 1) - z(-1, -1) - 2 * z(0, -1) - z(1, -1)) / 80;
    return std::atan(std::hypot(dx, dy)) * 180 / 3.14159265358979;
  }
  static raster::Grid river_cells() {
    std::vector<Shape> river;
    for (Shape& shape : shapes(valley_->streams))
      if (shape.attributes["kind"] == "river") river.push_back(std::move(shape));
    EXPECT_EQ(river.size(), 1u);
    return raster::rasterise(river, dem_->georef);
  }

  static double seconds_;
  static base::TemporaryFolder* folder_;
  static Valley* valley_;
  static raster::Grid* dem_;
};
double ValleyTest::seconds_ = 0;
base::TemporaryFolder* ValleyTest::folder_ = nullptr;
Valley* ValleyTest::valley_ = nullptr;
raster::Grid* ValleyTest::dem_ = nullptr;

/// Names below a folder with the hashes of their bytes.
std::map<std::string, std::string> hashes(const fs::path& folder) {
  std::map<std::string, std::string> result;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file())
      result[fs::relative(entry.path(), folder).string()] = base::sha256_file(entry.path());
  return result;
}

TEST_F(ValleyTest, SameSeedSameBytesOtherSeedOtherLand) {
  make_valley(folder_->path() / "again", 1);
  make_valley(folder_->path() / "other", 2);
  const auto first = hashes(valley_->dem.parent_path()), again = hashes(folder_->path() / "again"),
             other = hashes(folder_->path() / "other");
  EXPECT_GT(first.size(), 90u);
  EXPECT_EQ(first, again);
  for (const char* name : {"dem.tif", "cover.tif", "weather.csv", "hosts.geojson"})
    EXPECT_NE(first.at(name), other.at(name)) << name;
  const raster::Grid land = raster::read_grid(folder_->path() / "other" / "dem.tif");
  for (const Site& site : {kTarnwickWood, kLanternRidge, kColdStoop, kHobbsOrchard}) {
    const PlanePoint at = plane(site.place);
    EXPECT_NEAR(land.bilinear(at.x_m, at.y_m).value(), site.elevation_m, 15) << site.name;
  }
}

TEST_F(ValleyTest, SizePlaceAndZone) {
  const raster::Georef& g = dem_->georef;
  EXPECT_EQ(g.cols, 1200);
  EXPECT_EQ(g.rows, 900);
  EXPECT_EQ(g.cell_m, 10);
  EXPECT_EQ(g.epsg, 32626);
  RecordProperty("make_ms", static_cast<int>(1000 * seconds_));
  const raster::RasterInfo info = raster::raster_info(valley_->dem.string());
  EXPECT_EQ(raster::ground_georef({info}, 10, std::nullopt, 0),
            g);  // a ground made of it needs no resampling
  const PlanePoint named = plane({.lat_deg = 42.0, .lon_deg = -30.0});
  EXPECT_LT(std::hypot(named.x_m - (g.left_m + 6000), named.y_m - (g.top_m - 4500)), 2500);
  for (float z : dem_->values) ASSERT_TRUE(z > 150 && z < 1000) << z;
  EXPECT_EQ(raster::read_classes(valley_->cover).georef, g);
}

TEST_F(ValleyTest, SitesStandAtTheirHeightsInTheirWoods) {
  const raster::ClassGrid cover = raster::read_classes(valley_->cover);
  const std::map<std::string, int> wood{
      {"Tarnwick Wood", 2}, {"Lantern Ridge", 4}, {"Cold Stoop", 5}, {"Hobb's Orchard", 7}};
  for (const Site& site : {kTarnwickWood, kLanternRidge, kColdStoop, kHobbsOrchard}) {
    const PlanePoint at = plane(site.place);
    EXPECT_NEAR(dem_->bilinear(at.x_m, at.y_m).value(), site.elevation_m, 15) << site.name;
    EXPECT_EQ(cover.codes[cover.georef.index(cover.georef.col_of(at.x_m), cover.georef.row_of(at.y_m))],
              wood.at(site.name))
        << site.name;
  }
}

TEST_F(ValleyTest, ACliffStands) {
  int steep = 0;
  for (int row = 1; row < 899; ++row)
    for (int col = 1; col < 1199; ++col) steep += slope_deg(col, row) > 45;
  EXPECT_GT(steep, 60);      // over half a hectare
  EXPECT_LT(steep, 10'800);  // under a hundredth of the land
}

TEST_F(ValleyTest, WaterRunsDown) {
  int streams = 0;
  for (const Shape& shape : shapes(valley_->streams)) {
    const auto& line = shape.rings.front();
    double last = 1e9, highest = -1e9, lowest = 1e9;
    for (const PlanePoint& p : line) {
      const auto z = dem_->value(p.x_m, p.y_m);
      if (!z) continue;
      EXPECT_LT(*z, last + 0.06);  // centimetres of rounding
      last = *z;
      highest = std::max(highest, *z);
      lowest = std::min(lowest, *z);
    }
    EXPECT_GE(highest, lowest);
    streams += shape.attributes.at("kind") == "stream";
  }
  EXPECT_GT(streams, 20);
}

TEST_F(ValleyTest, TheBridgeIsTheOneWayOver) {
  std::vector<Shape> bridges, trails;
  for (Shape& shape : shapes(valley_->trails))
    (shape.attributes["bridge"] == "yes" ? bridges : trails).push_back(std::move(shape));
  ASSERT_EQ(bridges.size(), 1u);
  const raster::Grid river = river_cells(), on_bridge = raster::rasterise(bridges, dem_->georef),
                     on_trail = raster::rasterise(trails, dem_->georef);
  const raster::ClassGrid cover = raster::read_classes(valley_->cover);
  const auto& line = bridges.front().rings.front();
  EXPECT_LT(std::hypot(line.front().x_m - line.back().x_m, line.front().y_m - line.back().y_m), 150);
  for (const PlanePoint& end : {line.front(), line.back()}) {  // both ends on dry land, each on a trail
    const std::size_t cell = river.georef.index(river.georef.col_of(end.x_m), river.georef.row_of(end.y_m));
    EXPECT_NE(cover.codes[cell], 1);
    EXPECT_EQ(river.values[cell], 0);
    EXPECT_EQ(on_trail.values[cell], 1);
  }
  const PlanePoint named = plane(kEnnowayBridge);
  EXPECT_LT(std::hypot(named.x_m - (line.front().x_m + line.back().x_m) / 2,
                       named.y_m - (line.front().y_m + line.back().y_m) / 2),
            60);
  // From one bank, with river and water as walls, the other cannot be reached; with the bridge it can.
  const auto reach = [&](bool with_bridge) {
    std::vector<std::uint8_t> seen(river.values.size(), 0);
    const auto wall = [&](std::size_t i) {
      return (river.values[i] > 0 || cover.codes[i] == 1) && !(with_bridge && on_bridge.values[i] > 0);
    };
    const raster::Georef& g = river.georef;
    std::vector<int> stack{static_cast<int>(g.index(g.col_of(line.front().x_m), g.row_of(line.front().y_m)))};
    seen[stack[0]] = 1;
    while (!stack.empty()) {
      const int cell = stack.back(), c = cell % g.cols, r = cell / g.cols;
      stack.pop_back();
      for (int dr = -1; dr <= 1; ++dr)
        for (int dc = -1; dc <= 1; ++dc) {
          if (!g.inside(c + dc, r + dr)) continue;
          const std::size_t next = g.index(c + dc, r + dr);
          if (seen[next] || wall(next)) continue;
          seen[next] = 1;
          stack.push_back(static_cast<int>(next));
        }
    }
    return seen[g.index(g.col_of(line.back().x_m), g.row_of(line.back().y_m))] == 1;
  };
  EXPECT_FALSE(reach(false));
  EXPECT_TRUE(reach(true));
}

TEST_F(ValleyTest, HostsAccessAndHistory) {
  int dead_elms = 0, apples = 0;
  std::set<std::string> genera;
  for (const Shape& host : shapes(valley_->hosts)) {
    const std::string genus = host.attributes.at("genus");
    genera.insert(genus);
    apples += genus == "Malus";
    EXPECT_THAT(host.attributes.at("told_by"), ::testing::AnyOf("leaf", "bark", "bud", "wood"));
    EXPECT_GT(base::parse_number(host.attributes.at("radius_m")).value(), 0);
    if (genus != "Ulmus") continue;
    ++dead_elms;
    EXPECT_NE(host.attributes.at("state"), "living");
    EXPECT_GE(base::parse_integer(host.attributes.at("year_died")).value(), 2008);
    EXPECT_LE(base::parse_integer(host.attributes.at("year_died")).value(), 2025);
  }
  EXPECT_GT(dead_elms, 30);
  EXPECT_GT(apples, 30);
  EXPECT_THAT(genera, ::testing::IsSupersetOf({"Ulmus", "Malus", "Fagus", "Quercus"}));
  std::map<std::string, int> kinds;
  for (const Shape& area : shapes(valley_->access)) {
    ++kinds[area.attributes.at("kind")];
    const auto expires = area.attributes.find("expires");
    if (expires != area.attributes.end() && !expires->second.empty())
      ++kinds[expires->second.substr(0, 4) < "2026" ? "expired" : "runs on"];
  }
  EXPECT_EQ(kinds["reserve"], 1);
  EXPECT_EQ(kinds["expired"], 1);
  bool burn = false, sprayed = false;
  const PlanePoint orchard = plane(kHobbsOrchard.place);
  for (const Shape& area : shapes(valley_->history)) {
    burn = burn || (area.attributes.at("kind") == "burn" && !area.attributes.at("year_from").empty());
    sprayed = sprayed || (area.attributes.at("kind") == "sprayed_orchard" &&
                          raster::inside(area, orchard.x_m, orchard.y_m));
  }
  EXPECT_TRUE(burn);
  EXPECT_TRUE(sprayed);
}

TEST_F(ValleyTest, WeatherIsPlausibleAndTellsItsStories) {
  auto parsed = weather::read_any(valley_->weather_csv.string());
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  std::map<int, double> rain_mm, sum_degc;
  std::map<int, int> days_with_mean, wet;
  std::map<std::string, weather::Day> by_date;
  for (const weather::Day& day : parsed.value.days) {
    const int year = base::year_of(day.date);
    rain_mm[year] += day.precip_mm.value_or(0);
    wet[year] += day.precip_mm.value_or(0) > 0;
    if (day.mean_degc()) {
      sum_degc[year] += *day.mean_degc();
      ++days_with_mean[year];
    }
    by_date[base::to_text(day.date)] = day;
  }
  for (int year : {2023, 2024, 2025}) {
    EXPECT_GT(rain_mm[year], 700) << year;
    EXPECT_LT(rain_mm[year], 1400) << year;
    EXPECT_NEAR(sum_degc[year] / days_with_mean[year], 9.5, 1.8) << year;
    EXPECT_GT(wet[year], 90);
    EXPECT_LT(wet[year], 200);
  }
  EXPECT_LT(by_date.at("2024-05-11").tmin_degc.value(), -2);
  const auto over = [&](Date first, int days, auto value) {
    double sum = 0;
    int n = 0;
    for (int k = 0; k < days; ++k) {
      const auto found = by_date.find(base::to_text(base::plus_days(first, k)));
      if (found == by_date.end()) continue;
      if (const auto v = value(found->second)) {
        sum += *v;
        ++n;
      }
    }
    return std::pair(sum, n);
  };
  const auto mean = [](const weather::Day& d) { return d.mean_degc(); };
  const auto rain = [](const weather::Day& d) { return d.precip_mm; };
  const auto january = [&](int year) {
    const auto [sum, n] = over(base::make_date(year, 1, 1), 31, mean);
    return sum / n;
  };
  for (int year : {2023, 2026}) EXPECT_GT(january(2025), january(year) + 2.5) << year;
  EXPECT_LT(over(base::make_date(2025, 6, 18), 71, rain).first, 40);
  EXPECT_GT(over(base::make_date(2023, 6, 18), 71, rain).first, 80);
  const auto gaps = weather::fill_gaps(parsed.value, 5);
  int longest = 0, short_ones = 0;
  for (const weather::Gap& gap : gaps) {
    const int length = base::days_between(gap.first, gap.last) + 1;
    longest = std::max(longest, length);
    short_ones += length <= 3;
  }
  EXPECT_GE(longest, 18);
  EXPECT_LE(longest, 26);
  EXPECT_GE(short_ones, 3);
  EXPECT_TRUE(by_date.count("2023-01-01"));
  EXPECT_TRUE(by_date.count("2026-11-25"));
}

TEST_F(ValleyTest, SeasonsHoldBlanksWintersAndFinds) {
  std::map<int, int> outings, blank, winter;
  std::map<std::string, int> finds;
  static const std::set<std::string> kIds{"E01", "E02", "E05", "E07", "E10", "E14",
                                          "E19", "O18", "O22", "X04", "X09", "X23"};
  for (const Valley::Trip& trip : valley_->trips) {
    const records::Outing& outing = trip.outing;
    const int year = base::year_of(outing.date);
    ++outings[year];
    blank[year] += outing.finds.empty();
    winter[year] += base::month_of(outing.date) <= 2 || base::month_of(outing.date) == 12;
    EXPECT_TRUE(outing.invented);
    EXPECT_FALSE(outing.observer.empty());
    EXPECT_FALSE(outing.targets.empty());
    EXPECT_LE(outing.date, base::make_date(2026, 11, 22));
    EXPECT_LE(outing.search_minutes.value(), outing.minutes);
    EXPECT_TRUE(outing.track.empty());
    for (const std::string& target : outing.targets) EXPECT_TRUE(kIds.count(target)) << target;
    for (const records::Find& find : outing.finds) {
      ++finds[find.species];
      EXPECT_TRUE(std::count(outing.targets.begin(), outing.targets.end(), find.species)) << find.species;
      EXPECT_EQ(find.date, outing.date);
      ASSERT_TRUE(find.place);
      EXPECT_GE(find.pieces, 1);
      EXPECT_FALSE(find.substrate.empty());
      if (find.cap_mm) {
        EXPECT_GT(*find.cap_mm, 3);
      }
      EXPECT_EQ(find.host_genus.empty(), find.host_told_by.empty());
    }
  }
  int all = 0, all_blank = 0;
  for (const auto& [year, count] : outings) {
    all += count;
    all_blank += blank[year];
  }
  for (int year : {2025, 2026}) {
    EXPECT_GE(outings[year], 40);
    EXPECT_GT(blank[year], outings[year] / 3.0);
    EXPECT_LT(blank[year], 0.75 * outings[year]);
    EXPECT_GE(winter[year], 4);
  }
  EXPECT_GE(outings[2025] + outings[2026], 80);
  EXPECT_GT(all_blank, all / 3.0);
  for (const char* species : {"E01", "O22", "X04"}) EXPECT_GE(finds[species], 10) << species;
  for (const auto& [year, count] : blank) RecordProperty("blank_" + std::to_string(year), count);
  for (const auto& [species, count] : finds) RecordProperty("finds_" + species, count);
}

TEST_F(ValleyTest, OneElmFruitsThreeSpringsAndIsSpent) {
  std::map<int, int> finds, visits;
  for (const Valley::Trip& trip : valley_->trips) {
    const exchange::Gpx gpx = track_of(trip);
    double nearest = 1e9;
    for (const auto& point : exchange::track_points(gpx))
      nearest = std::min(nearest, earth::geodesic(point.place, kSpentElm).distance_m);
    const unsigned month = base::month_of(trip.outing.date);
    const bool looked = std::count(trip.outing.targets.begin(), trip.outing.targets.end(), "E01") > 0;
    if (nearest < 20 && looked && (month == 5 || month == 6)) ++visits[base::year_of(trip.outing.date)];
    for (const records::Find& find : trip.outing.finds)
      if (find.species == "E01" && earth::geodesic(*find.place, kSpentElm).distance_m < 12)
        ++finds[base::year_of(find.date)];
  }
  for (int year : {2023, 2024, 2025}) EXPECT_GE(finds[year], 1) << year;
  EXPECT_GE(visits[2026], 2);
  EXPECT_EQ(finds[2026], 0);
}

TEST_F(ValleyTest, TracksAreWalkedInDaylightOnOpenLand) {
  const raster::Grid river = river_cells();
  const raster::ClassGrid cover = raster::read_classes(valley_->cover);
  const raster::Georef& g = river.georef;
  std::vector<Shape> shut;
  for (Shape& area : shapes(valley_->access))
    if (area.attributes["kind"] == "reserve" || area.attributes["kind"] == "closed")
      shut.push_back(std::move(area));
  const PlanePoint bridge = plane(kEnnowayBridge);
  int over_bridge = 0;
  for (const Valley::Trip& trip : valley_->trips) {
    SCOPED_TRACE(trip.gpx.filename().string());
    const auto points = exchange::track_points(track_of(trip));
    ASSERT_GT(points.size(), 30u);
    double length_m = 0, search_m = 0;
    int crossings = 0;
    const int offset_min = earth::offset_at(kZone, *points.front().time);
    const auto sun = earth::sun_times(trip.outing.date, kBridgeGreen.place, offset_min);
    EXPECT_EQ(earth::local_date(kZone, *points.front().time), trip.outing.date);
    EXPECT_EQ(earth::local_clock(kZone, *points.front().time), trip.outing.start_clock);
    EXPECT_GT(*points.front().time, *sun.rise);
    EXPECT_LT(*points.back().time, *sun.set);
    EXPECT_NEAR(static_cast<double>((*points.back().time - *points.front().time).count()) / 60,
                trip.outing.minutes, 1.5);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const PlanePoint at = plane(points[i].place);
      ASSERT_TRUE(g.contains(at.x_m, at.y_m));
      EXPECT_NEAR(points[i].elevation_m.value(), dem_->bilinear(at.x_m, at.y_m).value(), 12);
      for (const Shape& area : shut) EXPECT_FALSE(raster::inside(area, at.x_m, at.y_m));
      if (i == 0 || points[i].segment != points[i - 1].segment) continue;
      const PlanePoint before = plane(points[i - 1].place);
      const double step_m = std::hypot(at.x_m - before.x_m, at.y_m - before.y_m);
      const auto seconds = static_cast<double>((*points[i].time - *points[i - 1].time).count());
      length_m += step_m;
      EXPECT_LT(step_m, 45);
      if (step_m > 12) {
        EXPECT_LT(step_m / std::max(1.0, seconds), 2.6);  // 6.3 km/h and the receiver's error
        EXPECT_GT(step_m / seconds, 0.03);
        if (step_m / seconds < 0.36) search_m += step_m;
      }
      for (int k = 0; k <= 20; ++k) {
        const double t = k / 20.0;
        const PlanePoint p{before.x_m + t * (at.x_m - before.x_m), before.y_m + t * (at.y_m - before.y_m)};
        const std::size_t cell = g.index(g.col_of(p.x_m), g.row_of(p.y_m));
        if (river.values[cell] == 0 && cover.codes[cell] != 1) continue;
        ++crossings;
        EXPECT_LT(std::hypot(p.x_m - bridge.x_m, p.y_m - bridge.y_m), 60) << "in the river";
      }
    }
    over_bridge += crossings > 0;
    EXPECT_LT(length_m, 22'000);
    EXPECT_GT(search_m, 100);
    // It starts and ends at one of the car parks.
    for (const auto& end : {points.front(), points.back()}) {
      double nearest = 1e9;
      for (const CarPark& park : {kBridgeGreen, kTarnwickLane, kLanternGate})
        nearest = std::min(nearest, earth::geodesic(end.place, park.place).distance_m);
      EXPECT_LT(nearest, 40);
    }
  }
  EXPECT_GT(over_bridge, 2);
}

TEST_F(ValleyTest, FindsLieByTheTrack) {
  for (const Valley::Trip& trip : valley_->trips) {
    const auto points = exchange::track_points(track_of(trip));
    for (const records::Find& find : trip.outing.finds) {
      double nearest = 1e9;
      for (const auto& point : points)
        nearest = std::min(nearest, earth::geodesic(point.place, *find.place).distance_m);
      EXPECT_LT(nearest, 90) << trip.gpx.filename() << " " << find.species;
    }
  }
}

TEST_F(ValleyTest, EveryCoverClassStandsInTheLegend) {
  EXPECT_EQ(valley_->legend, base::data_folder() / "legends" / "ennoway.toml");
  const std::string legend = base::read_file(valley_->legend);
  EXPECT_THAT(legend.substr(0, legend.find('\n')), ::testing::HasSubstr("nvented"));
  std::map<int, int> count;
  for (std::uint8_t code : raster::read_classes(valley_->cover).codes) ++count[code];
  for (const auto& [code, cells] : count)
    EXPECT_THAT(legend, ::testing::HasSubstr("\nvalue = " + std::to_string(code) + "\n"))
        << cells << " cells";
  EXPECT_GE(count.size(), 12u);
}

TEST(Valley, CanBeStopped) {
  const base::TemporaryFolder folder;
  base::set_interrupted(true);
  EXPECT_THROW(make_valley(folder.path() / "vale", 1), Error);
  base::set_interrupted(false);
}

}  // namespace
}  // namespace stumpwise::demo
