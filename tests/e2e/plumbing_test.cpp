// Zion's elevation and simplified cover with the weather of New York: plumbing only, and the program must say
// so.
#include "run.h"

namespace stumpwise::e2e {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

class Plumbing : public testing::Test {
 protected:
  void SetUp() override {
    if (shared_data().empty() || !fs::exists(shared_data() / "weather"))
      GTEST_SKIP() << "the shared data (data/terrain, data/weather) is not here";
  }
  /// A desk with the ground and the station's file, said to stand at a place.
  static void lay_out(const Desk& desk, const std::string& lat, const std::string& lon,
                      const std::string& elev) {
    desk.json({"ground", "add", "zion", "--dem", shared_data() / "terrain/srtm.tif", "--cover",
               shared_data() / "terrain/nlcd.tif", "--legend", "simple8", "--around", "37.3,-113.0,3",
               "--cell", "20", "--region", "NA-W", "--tz", "America/Denver"});
    desk.json({"weather", "add", shared_data() / "weather/USW00094728.dly", "--lat", lat, "--lon", lon,
               "--elev", elev});
  }
  static double width(const Json& outlook) {
    double sum = 0;
    for (const Json& species : outlook.at("species"))
      for (const Json& day : species.at("days"))
        sum += day.at("high90").get<double>() - day.at("low90").get<double>();
    return sum;
  }
};

TEST_F(Plumbing, AStationThousandsOfKilometresAwayIsSaidEverywhere) {
  const Desk desk("2019-10-05");
  lay_out(desk, "40.7789", "-73.9692", "42.7");
  const Json outlook = desk.json({"outlook", "--days", "3"});
  const std::vector<std::string> plan_words{"plan", "--start", "37.3,-113.0", "--hours", "4"};
  const Json plan = desk.json(plan_words);
  const Json prospect = desk.json({"prospect", "--species", "E14", "--out", desk.path("p.tif")});
  for (const Json& answer : {outlook, plan, prospect}) {
    const Json& station = answer.at("station");
    EXPECT_TRUE(station.at("far").get<bool>());
    // New York's Central Park to Zion: about 3370 km on the globe.
    EXPECT_NEAR(station.at("distance_km").get<double>(), 3373, 10);
    EXPECT_LT(station.at("height_difference_m").get<double>(), -1000);
    EXPECT_THAT(station.at("warning").get<std::string>(), HasSubstr("km away"));
    EXPECT_THAT(caution_ids(answer), Contains("far-station"));
    EXPECT_THAT(notes_of(answer), HasSubstr("is not the weather here"));
  }
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"outlook", "--days", "1"},
        plan_words,
        {"prospect", "--species", "E14", "--out", desk.path("p.tif")}}) {
    const Answer told = desk.run(words);
    EXPECT_EQ(told.status, 0) << told.err;
    EXPECT_THAT(unwrapped(told.out), HasSubstr("The weather station is far away or at another height"))
        << words.front();
    EXPECT_THAT(unwrapped(told.out), HasSubstr("its weather is not the weather here")) << words.front();
  }
  desk.run({"plan", "--start", "37.3,-113.0", "--hours", "4", "--sheet", desk.path("s.html")});
  EXPECT_THAT(unwrapped(base::read_file(desk.path("s.html"))), HasSubstr("far away"));
}

TEST_F(Plumbing, TheSameDaysFromNearbyHaveTheNarrowerBandAndNoWarning) {
  // The same file twice, at the height of the ground: only the distance differs, so the index must be the
  // same and the band not.
  const Desk near("2019-10-05"), far("2019-10-05");
  lay_out(near, "37.31", "-113.01", "1900");
  lay_out(far, "40.7789", "-73.9692", "1900");
  const Json here = near.json({"outlook", "--days", "3"}), there = far.json({"outlook", "--days", "3"});
  EXPECT_FALSE(here.at("station").at("far").get<bool>());
  EXPECT_EQ(here.at("station").at("warning"), "");
  EXPECT_THAT(caution_ids(here), Not(Contains("far-station")));
  EXPECT_TRUE(there.at("station").at("far").get<bool>());
  EXPECT_GT(width(there), 1.2 * width(here));
  std::map<std::string, double> index;
  for (const Json& species : here.at("species"))
    index[species.at("id")] = species.at("days").at(0).at("index").get<double>();
  for (const Json& species : there.at("species"))
    EXPECT_NEAR(species.at("days").at(0).at("index").get<double>(), index.at(species.at("id")), 1e-9);

  const std::vector<std::string> words{"plan", "--start", "37.3,-113.0", "--hours", "4"};
  const Json short_way = near.json(words), long_way = far.json(words);
  const auto spread = [](const Json& plan) {
    return (plan.at("total").at("high90").get<double>() - plan.at("total").at("low90").get<double>()) /
           plan.at("total").at("median_finds").get<double>();
  };
  EXPECT_GT(spread(long_way), spread(short_way));
}

}  // namespace
}  // namespace stumpwise::e2e
