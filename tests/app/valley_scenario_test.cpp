// The main job on the demo valley, from files to documents, with a checker that shares nothing with the
// planner: it reads the GPX, the elevation and the map back from disk and computes minutes and finds by
// itself.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

#include "scene.h"
#include "stumpwise/caution/caution.h"
#include "stumpwise/demo/sites.h"
#include "stumpwise/exchange/gpx.h"

namespace stumpwise::app {
namespace {

using nlohmann::json;

class Valley : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = new base::TemporaryFolder;
    DemoRequest request;
    request.folder = (folder_->path() / "demo").string();
    demo(request, {});
  }
  static void TearDownTestSuite() { delete folder_; }

  static std::string path(const std::string& name) { return (folder_->path() / name).string(); }
  static Session session(Date today = base::make_date(2026, 5, 11)) {
    return Session(folder_->path() / "demo" / "ennoway.gpkg", false, today);
  }
  static PlanRequest request() {
    PlanRequest request;
    request.start = demo::kTarnwickLane.place;
    request.hours = 4;
    request.date = base::make_date(2026, 5, 12);
    request.depart_clock_min = 9 * 60;
    request.species = {"E01", "O22", "X04"};
    return request;
  }
  static base::TemporaryFolder* folder_;
};
base::TemporaryFolder* Valley::folder_ = nullptr;

/// The checker's own reading of the land: bilinear between cell centres.
class Checker {
 public:
  explicit Checker(const std::string& dem)
      : dem_(raster::read_grid(dem)), utm_(earth::Utm::from_epsg(dem_.georef.epsg)) {}
  double height_m(const LatLon& place) const {
    const auto p = utm_.forward(place);
    const auto& g = dem_.georef;
    const double u = (p.x_m - g.left_m) / g.cell_m - 0.5, v = (g.top_m - p.y_m) / g.cell_m - 0.5;
    const int c = static_cast<int>(std::floor(u)), r = static_cast<int>(std::floor(v));
    const double s = u - c, t = v - r;
    return (1 - t) * ((1 - s) * dem_.at(c, r) + s * dem_.at(c + 1, r)) +
           t * ((1 - s) * dem_.at(c, r + 1) + s * dem_.at(c + 1, r + 1));
  }
  /// Minutes of a line of GPX points, off the path, by the published law.
  double minutes(const std::vector<LatLon>& line, double* longest_m = nullptr) const {
    double total = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
      const auto a = utm_.forward(line[i - 1]), b = utm_.forward(line[i]);
      const double d = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
      if (longest_m) *longest_m = std::max(*longest_m, d);
      if (d < 0.01) continue;
      const double slope = (height_m(line[i]) - height_m(line[i - 1])) / d;
      total += d / (6.0 * std::exp(-3.5 * std::fabs(slope + 0.05)) * 0.6 * 1000 / 60);
    }
    return total;
  }

 private:
  raster::Grid dem_;
  earth::Utm utm_;
};

Instant instant(const json& text) {
  return *base::parse_instant(text.get<std::string>());
}
double minutes_between(const json& from, const json& to) {
  return static_cast<double>((instant(to) - instant(from)).count()) / 60;
}

TEST_F(Valley, EveryLegIsWhatGpxAndLandSay) {
  Session s = session();
  PlanRequest r = request();
  r.gpx = path("walk.gpx");
  r.sheet = path("walk.html");
  const json plan = app::plan(s, r);
  ASSERT_FALSE(plan["stops"].empty());
  const auto gpx = base::value_or_throw(exchange::read_gpx(base::read_file(r.gpx), r.gpx), "walk");
  const Checker checker(path("demo/ennoway.files/ennoway/dem.tif"));
  // The main route is cut at its named points.
  std::vector<std::vector<LatLon>> legs;
  for (const auto& point : gpx.routes.front().points) {
    if (!legs.empty()) legs.back().push_back(point.place);
    if (!point.name.empty()) legs.push_back({point.place});
  }
  legs.pop_back();
  ASSERT_EQ(legs.size(), plan["legs"].size());
  double longest_m = 0;
  for (std::size_t i = 0; i < legs.size(); ++i) {
    const double told = plan["legs"][i]["minutes"];
    EXPECT_NEAR(checker.minutes(legs[i], &longest_m), told, 0.02 * told + 0.02) << "leg " << i;
  }
  EXPECT_LE(longest_m, 15.05);
  // The ways back too.
  ASSERT_EQ(gpx.routes.size(), plan["stops"].size() + 1);
  ASSERT_EQ(gpx.waypoints.size(), plan["stops"].size());
  for (std::size_t i = 0; i < plan["stops"].size(); ++i) {
    std::vector<LatLon> back;
    for (const auto& point : gpx.routes[i + 1].points) back.push_back(point.place);
    const double told = plan["stops"][i]["return_minutes"];
    EXPECT_NEAR(checker.minutes(back), told, 0.02 * told + 0.02);
    EXPECT_NE(gpx.waypoints[i].name.find(plan["stops"][i]["turn_back"].get<std::string>().substr(11, 5)),
              std::string::npos);
  }
  const std::string sheet = base::read_file(r.sheet);
  EXPECT_NE(sheet.find("<svg"), std::string::npos);
  EXPECT_NE(sheet.find("Invented demo data"), std::string::npos);
  EXPECT_TRUE(caution::forbidden_wording(sheet).empty());
}

TEST_F(Valley, TheClockHolds) {
  Session s = session();
  const json plan = app::plan(s, request());
  const double factor = plan["factor"];
  double walked = 0;
  for (const auto& leg : plan["legs"]) walked += leg["minutes"].get<double>();
  for (const auto& stop : plan["stops"]) {
    walked += stop["search_minutes"].get<double>();
    EXPECT_NEAR(minutes_between(stop["arrive"], stop["leave_by"]), stop["search_minutes"].get<double>(), 0.1);
    EXPECT_NEAR(minutes_between(stop["turn_back"], plan["deadline"]),
                factor * stop["return_minutes"].get<double>(), 0.05);
    EXPECT_LE(instant(stop["leave_by"]), instant(stop["turn_back"]));
    EXPECT_LE(stop["low90"].get<double>(), stop["median_finds"].get<double>());
    EXPECT_GE(stop["high90"].get<double>(), stop["median_finds"].get<double>());
  }
  EXPECT_NEAR(walked, plan["total"]["minutes"].get<double>(), 0.2);
  EXPECT_LE(walked, 4 * 60 + 0.1);
  EXPECT_NEAR(minutes_between(plan["deadline"], plan["sunset"]), plan["buffer_minutes"].get<double>(), 0.02);
  EXPECT_LE(instant(plan["end_time"]), instant(plan["deadline"]));
  EXPECT_GE(instant(plan["latest_depart"]), instant(plan["depart"]));
  EXPECT_FALSE(plan["cautions"].empty());
}

TEST_F(Valley, ExpectedFindsComeFromTheMap) {
  Session s = session();
  const json plan = app::plan(s, request());
  std::map<std::string, raster::Grid> maps;
  double narrowest_m = 1e9, widest_m = 0;
  for (const char* id : {"E01", "O22", "X04"}) {
    ProspectRequest r;
    r.species = id;
    r.date = base::make_date(2026, 5, 12);
    r.out = path(std::string(id) + ".tif");
    prospect(s, r);
    maps.emplace(id, raster::read_grid(r.out, 1));
    const auto& ground = s.library().find(id)->ground;
    narrowest_m = std::min(narrowest_m, ground.sweep_width_m);
    widest_m = std::max(widest_m, ground.sweep_width_m);
  }
  const earth::Utm utm = earth::Utm::from_epsg(maps.at("E01").georef.epsg);
  const double width_m = plan["sweep_width_m"], speed = plan["search_speed_m_per_min"];
  EXPECT_GE(width_m, narrowest_m);
  EXPECT_LE(width_m, widest_m);
  for (const auto& stop : plan["stops"]) {
    double standing = 0;
    for (const auto& each : stop["species"]) {
      const raster::Grid& map = maps.at(each["id"]);
      const auto& corners = stop["patch_corners"];
      const auto nw = utm.forward({.lat_deg = corners[0][1], .lon_deg = corners[0][0]}),
                 se = utm.forward({.lat_deg = corners[2][1], .lon_deg = corners[2][0]});
      double sum = 0;
      int n = 0;
      for (int row = map.georef.row_of(nw.y_m - 1); row <= map.georef.row_of(se.y_m + 1); ++row)
        for (int col = map.georef.col_of(nw.x_m + 1); col <= map.georef.col_of(se.x_m - 1); ++col)
          if (const float v = map.at(col, row); !std::isnan(v)) sum += v, ++n;
      const double from_map = sum / n * stop["area_m2"].get<double>() / 10000;
      const double told = each["standing"];
      EXPECT_NEAR(
          told, from_map,
          0.02 * from_map + 1e-4 + (n * 100.0 > stop["area_m2"].get<double>() * 1.01 ? 0.5 * from_map : 0))
          << each["id"] << " at stop " << stop["number"];
      standing += told;
    }
    const double coverage =
        width_m * speed * stop["search_minutes"].get<double>() / stop["area_m2"].get<double>();
    EXPECT_NEAR(stop["median_finds"].get<double>(), standing * (1 - std::exp(-coverage)),
                0.01 * standing + 2e-4);
  }
}

TEST_F(Valley, DaysAreRankedAndOtherWeatherChangesThem) {
  Session s = session();
  PlanRequest r = request();
  r.days = 5;
  const json before = app::plan(s, r);
  ASSERT_EQ(before["days"].size(), 5u);
  for (std::size_t i = 1; i < 5; ++i)
    EXPECT_GE(before["days"][i - 1]["median_finds"].get<double>(),
              before["days"][i]["median_finds"].get<double>());
  EXPECT_EQ(before["days"][0]["date"], before["date"]);
  EXPECT_EQ(before["days"][0]["basis"], "ensemble");
  weather_forecast(s, {"", "-9/-2/0 -9/-2/0 -9/-1/0 -9/-2/0 -9/-2/0"});
  const json after = app::plan(s, r);
  EXPECT_EQ(after["days"][0]["basis"], "forecast");
  EXPECT_LT(after["total"]["median_finds"].get<double>(), before["total"]["median_finds"].get<double>());
  EXPECT_NE(before["days"], after["days"]);
}

TEST_F(Valley, MovingTheOutingsMovesTheMap) {
  auto map_after = [&](bool moved) {
    const std::string copy = path(moved ? "moved" : "asis");
    std::filesystem::copy(folder_->path() / "demo", copy, std::filesystem::copy_options::recursive);
    Session s(std::filesystem::path(copy) / "ennoway.gpkg", false, base::make_date(2026, 11, 22));
    if (moved) {
      for (records::Outing outing : s.book().outings("ennoway")) {
        for (auto& point : outing.track)
          point.place.lat_deg += 0.012;  // 1.3 km north: other stands, other slopes
        s.book().replace_track(outing.id, outing.track);
      }
    }
    LearnRequest learn;
    learn.species = {"E01"};
    const json learned = app::learn(s, learn);
    EXPECT_GT(learned["species"][0]["outings"].get<int>(), 5);
    ProspectRequest r;
    r.species = "E01";
    r.date = base::make_date(2026, 5, 12);
    r.out = copy + ".tif";
    prospect(s, r);
    return raster::read_grid(r.out, 1);
  };
  Session s = session();
  ProspectRequest r;
  r.species = "E01";
  r.date = base::make_date(2026, 5, 12);
  r.out = path("prior.tif");
  prospect(s, r);
  const auto prior = raster::read_grid(r.out, 1), asis = map_after(false), moved = map_after(true);
  auto correlation_gap = [](const raster::Grid& a, const raster::Grid& b) {
    double most = 0;
    for (std::size_t i = 0; i < a.values.size(); i += 97)
      if (!std::isnan(a.values[i]) && a.values[i] > 0)
        most = std::max(most, std::fabs(std::log(static_cast<double>(a.values[i]) / b.values[i])));
    return most;
  };
  EXPECT_GT(correlation_gap(prior, asis), 0.05) << "learning changed nothing";
  EXPECT_GT(correlation_gap(asis, moved), 0.05) << "where the outings were does not matter";
}

TEST_F(Valley, RefusalsNameTheMend) {
  Session s = session();
  auto refusal = [&](auto change) {
    PlanRequest r = request();
    change(r);
    try {
      app::plan(s, r);
    } catch (const Error& error) {
      return error.full_text();
    }
    return std::string("not refused");
  };
  EXPECT_THAT(refusal([](PlanRequest& r) { r.start = {.lat_deg = 51, .lon_deg = 8}; }),
              testing::HasSubstr("outside the ground"));
  EXPECT_THAT(refusal([](PlanRequest& r) { r.depart_clock_min = 23 * 60 + 30; }),
              testing::HasSubstr("latest start that still works"));
  EXPECT_THAT(refusal([](PlanRequest& r) { r.hours = 0.05; }),
              testing::HasSubstr("shortest walk that works"));
  EXPECT_THAT(refusal([](PlanRequest& r) { r.hours = 0; }), testing::HasSubstr("--hours 0"));
  EXPECT_THAT(refusal([](PlanRequest& r) { r.species = {"Morchella americanna xx"}; }),
              testing::HasSubstr("Morchella"));
  EXPECT_THAT(refusal([](PlanRequest& r) { r.days = 99; }), testing::HasSubstr("--days 99"));
}

TEST_F(Valley, TheShortestWalkThatIsNamedWorks) {
  Session s = session();
  PlanRequest r = request();
  r.hours = 0.05;
  try {
    app::plan(s, r);
    FAIL();
  } catch (const Error& error) {
    const auto at = error.mend().find("--hours ");
    ASSERT_NE(at, std::string::npos) << error.full_text();
    r.hours = std::stod(error.mend().substr(at + 8));
  }
  EXPECT_NO_THROW(app::plan(s, r));
}

TEST_F(Valley, AccessIsKeptByTheDay) {
  Session s = session();
  const json plan = app::plan(s, request());
  bool asked = false;
  for (const auto& note : plan["notes"])
    asked = asked || note.get<std::string>().find("ask the owner") != std::string::npos;
  EXPECT_TRUE(asked) << plan["notes"];
}

TEST_F(Valley, TheDemoIsMarkedAndNothingForbiddenIsSaid) {
  Session s = session();
  for (const json& answer : {status(s), today(s), outlook(s, {}), species_list(s, {}), species_show(s, "X04"),
                             outing_list(s, ""), app::plan(s, request())}) {
    const auto hits = caution::forbidden_wording(answer.dump());
    EXPECT_TRUE(hits.empty()) << hits.front();
    EXPECT_FALSE(answer["cautions"].empty());
  }
  EXPECT_EQ(status(s)["invented"], true);
  EXPECT_TRUE(check(s)["ok"]) << check(s)["issues"];
}

}  // namespace
}  // namespace stumpwise::app
