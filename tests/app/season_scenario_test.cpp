// Scenario H1 of the domain paper: the day's targets ranked, in May and in January.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "scene.h"

namespace stumpwise::app {
namespace {

/// Sixty days of mean 10 degC with 8 mm every fourth day, then seven given means with 9 and 14 mm on the two
/// days before the last.
std::string typed_weather(Date last, const std::vector<double>& means_degc) {
  std::string csv = "date,tmean_c,precip_mm\n";
  const Date first = base::plus_days(last, -66);
  for (int i = 0; i < 67; ++i) {
    const Date date = base::plus_days(first, i);
    const int left = base::days_between(date, last);
    const double mean = left < 7 ? means_degc[static_cast<std::size_t>(6 - left)] : 10.0;
    const double rain = left == 2 ? 9 : left == 1 ? 14 : left >= 7 && i % 4 == 0 ? 8 : 0;
    csv += fmt::format("{},{},{}\n", base::to_text(date), mean, rain);
  }
  return csv;
}

std::map<std::string, double> index_of(const nlohmann::json& outlook) {
  std::map<std::string, double> index;
  for (const auto& species : outlook["species"]) index[species["id"]] = species["days"][0]["index"];
  return index;
}

nlohmann::json ask(Session& session, std::vector<std::string> species = {}) {
  OutlookRequest request;
  request.days = 1;
  request.species = std::move(species);
  return outlook(session, request);
}

const std::vector<std::string> kOfTheScenario = {"E01", "E02", "E07", "O18", "O22"};

TEST(H1, TheTwelfthOfMayAtTarnwick) {
  const Scene scene;
  const Date day = base::make_date(2026, 5, 12);
  Session session = scene.session(day);
  ground_add(session, scene.ground_request(310));
  scene.add_weather(session, typed_weather(day, {11, 12, 14, 15, 16, 17, 17}));
  records::WeatherNote soil;
  soil.date = day;
  soil.soil_degc = 13;
  weather_note(session, soil);
  const auto answer = ask(session, kOfTheScenario);
  const auto index = index_of(answer);
  EXPECT_GT(index.at("E01"), index.at("O18"));
  EXPECT_GT(index.at("E01"), index.at("O22"));
  EXPECT_GT(index.at("E01"), index.at("E07"));
  EXPECT_TRUE(index.count("E02"));
  std::vector<std::string> cautions;
  for (const auto& each : answer["cautions"]) cautions.push_back(each["id"]);
  EXPECT_THAT(cautions, testing::IsSupersetOf({"not-a-promise", "no-local-records"}));
  for (const auto& species : answer["species"]) {
    EXPECT_LE(species["days"][0]["low90"], species["days"][0]["index"]);
    EXPECT_GE(species["days"][0]["high90"], species["days"][0]["index"]);
    EXPECT_FALSE(species["days"][0]["driver"].get<std::string>().empty());
  }
}

TEST(H1, TheTwelfthOfJanuaryAtTarnwick) {
  const Scene scene;
  const Date day = base::make_date(2026, 1, 12);
  Session session = scene.session(day);
  ground_add(session, scene.ground_request(310));
  scene.add_weather(session, typed_weather(day, {1, 2, 3, 3, 4, 5, 5}));
  const auto index = index_of(ask(session, kOfTheScenario));
  EXPECT_LE(index.at("E01"), 0.05);
  EXPECT_LT(index.at("E01"), index.at("O22"));
}

TEST(Outlook, WithoutNamesItTellsTheKindsUsuallyLookedFor) {
  const Scene scene;
  Session session = scene.session(base::make_date(2026, 5, 12));
  ground_add(session, scene.ground_request(310));
  scene.add_weather(session, typed_weather(base::make_date(2026, 5, 12), {11, 12, 14, 15, 16, 17, 17}));
  std::set<std::string> expected, told;
  const auto regions = session.library().parse_regions(session.ground("").region);
  for (const auto& profile : session.library().profiles())
    if (profile.group == species::Group::edible &&
        std::any_of(profile.regions.begin(), profile.regions.end(), [&](const std::string& code) {
          return std::find(regions.begin(), regions.end(), code) != regions.end();
        }))
      expected.insert(profile.id);
  const auto answer = ask(session);
  for (const auto& species : answer["species"]) told.insert(species["id"].get<std::string>());
  EXPECT_EQ(told, expected);
  EXPECT_TRUE(told.count("E01") && told.count("E02") && told.count("E07"));
}

TEST(Outlook, OtherWeatherChangesTheAnswer) {
  const Date day = base::make_date(2026, 5, 12);
  auto with = [&](double warmer) {
    const Scene scene;
    Session session = scene.session(day);
    ground_add(session, scene.ground_request(310));
    scene.add_weather(session, typed_weather(day, {11 + warmer, 12 + warmer, 14 + warmer, 15 + warmer,
                                                   16 + warmer, 17 + warmer, 17 + warmer}));
    return index_of(ask(session));
  };
  EXPECT_NE(with(0), with(-9));
}

TEST(Outlook, BadQuestionsAreAnsweredWithTheMend) {
  const Scene scene;
  Session session = scene.session(base::make_date(2026, 5, 12));
  EXPECT_THROW(ask(session), Error);  // no ground
  ground_add(session, scene.ground_request(310));
  EXPECT_THROW(ask(session), Error);  // no weather
  scene.add_weather(session, typed_weather(base::make_date(2026, 5, 12), {11, 12, 14, 15, 16, 17, 17}));
  OutlookRequest request;
  request.days = 0;
  EXPECT_THROW(outlook(session, request), Error);
  request.days = 1;
  request.at = LatLon{.lat_deg = 50, .lon_deg = 8};
  EXPECT_THROW(outlook(session, request), Error);
  request.at.reset();
  request.species = {"Cerioporus squamosas"};
  EXPECT_EQ(outlook(session, request)["species"][0]["id"], "E01");
  request.species = {"Zzyzx mirabilis"};
  EXPECT_THROW(outlook(session, request), Error);
}

}  // namespace
}  // namespace stumpwise::app
