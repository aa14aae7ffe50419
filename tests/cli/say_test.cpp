// The words made from answers: units, wrapping, and that an answer with keys missing is still told.
#include "../../src/cli/say.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "../../src/cli/values.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

using testing::HasSubstr;

using Speaker = std::string (*)(const Json&, const Units&);
const std::vector<Speaker> kAll{say_ground_add,   say_ground_list,  say_ground_show,
                                say_weather_add,  say_weather_note, say_weather_forecast,
                                say_species_list, say_species_show, say_species_check,
                                say_outlook,      say_prospect,     say_learn,
                                say_spores,       say_plan,         say_turnback,
                                say_outing_add,   say_outing_list,  say_outing_show,
                                say_find_add,     say_find_list,    say_demo,
                                say_today,        say_check,        say_key,
                                say_key_next,     say_piece_add,    say_piece_list,
                                say_piece_show};

TEST(Say, AnAnswerWithoutItsKeysIsStillTold) {
  for (std::size_t i = 0; i < kAll.size(); ++i) {
    SCOPED_TRACE(i);
    for (const Json& answer : {Json(), Json::object(), Json::array(),
                               Json{{"species", {nullptr, 1, "x", Json::object()}},
                                    {"stops", {Json::object()}},
                                    {"days", {nullptr}},
                                    {"legs", {1}},
                                    {"grounds", {nullptr, Json::object()}},
                                    {"notes", {1, nullptr}},
                                    {"outings", {Json::object()}},
                                    {"finds", {Json::object()}},
                                    {"undefeated", {nullptr, Json::object()}},
                                    {"names", {1, {{"posterior", 0.5}}, Json::object()}},
                                    {"next", {nullptr}},
                                    {"must_see", {1}},
                                    {"clashes", {nullptr}},
                                    {"readings", {nullptr, {{"low", 3}, {"high", 4}}}},
                                    {"history", {1, {{"text", "C20=solid@cut"}}}},
                                    {"pieces", {nullptr, Json::object()}},
                                    {"waits", {nullptr, 2}},
                                    {"confirmations", {1}},
                                    {"said", {1, nullptr}},
                                    {"characters", {{"C01", nullptr}}},
                                    {"station", 3},
                                    {"total", "x"},
                                    {"alternatives", {1}}}})
      EXPECT_FALSE(kAll[i](answer, Units{true}).empty());
  }
}

TEST(Say, CautionsStandUnderEveryAnswerAndTheDemoIsMarkedFirst) {
  const Json answer{{"invented", true},
                    {"cautions", {{{"id", "invented-data"}, {"text", "Mind the limbs."}}}}};
  for (std::size_t i = 0; i < kAll.size(); ++i) {
    SCOPED_TRACE(i);
    EXPECT_THAT(kAll[i](answer, {}), HasSubstr("Cautions\n  - Mind the limbs.\n"));
  }
  for (const Speaker speak :
       {say_outlook, say_prospect, say_learn, say_plan, say_outing_show, say_find_list, say_ground_show})
    EXPECT_THAT(speak(answer, {}), testing::StartsWith("[INVENTED DEMO"));
}

TEST(Say, ASpeciesPageBeginsWithCautionsAndDoublesAndEndsWithSources) {
  const Json answer{
      {"id", "E99"},
      {"name", "Invented fungus"},
      {"cautions", {{{"id", "x"}, {"text", "Check every piece."}}}},
      {"must_see", {"C31"}},
      {"pairs",
       {{{"with", "X98"},
         {"name", "Deadly double"},
         {"danger", true},
         {"characters", {"C31"}},
         {"source", "memory"}}}},
      {"characters",
       {{"C01", {{"name", "underside"}, {"how", "G H"}, {"states", {"pores"}}, {"source", "memory"}}},
        {"C23", {{"name", "base"}, {"how", "B"}, {"states", {"none"}}, {"source", "memory"}}},
        {"C31", {{"name", "print"}, {"how", "P"}, {"states", {"white"}}, {"source", "a-1999"}}},
        {"C34", {{"name", "Melzer"}, {"how", "M R"}, {"states", {"none"}}, {"source", "memory"}}}}},
      {"take",
       {{"whole_to_mm", 50},
        {"parts", {"cap"}},
        {"cook_minutes", 15},
        {"freshness", "hours"},
        {"tender_days", {5, 10}},
        {"sources", {{"whole_to_mm", "common-practice"}}}}},
      {"names",
       {{{"name", "Invented fungus"},
         {"authorship", "Nobody"},
         {"year", 1999},
         {"status", "accepted"},
         {"source", "memory"}}}},
      {"references", {{{"key", "a-1999"}, {"reference", "A: nowhere."}, {"checked", "excerpt"}}}}};
  const std::string page = say_species_show(answer, {});
  std::size_t at = 0;
  for (const char* part :
       {"Check every piece.", "X98 Deadly double [DANGER], told apart by C31", "To see at a glance\n    C01",
        "To dig the base out for\n    C23", "To leave overnight for\n  * C31", "For the microscope\n    C34",
        "whole             up to 50 mm [common-practice]", "keeps             hours only",
        "stays tender      5 to 10 days", "Invented fungus Nobody 1999, accepted",
        "[a-1999] A: nowhere. (excerpt)"}) {
    const std::size_t found = page.find(part, at);
    ASSERT_NE(found, std::string::npos) << part << "\n" << page;
    at = found;
  }
}

TEST(Say, ADangerTellsGutAndOrganApart) {
  const Json hours{{"min", 24}, {"usual_min", 24}, {"usual_max", 36}, {"max", 48}, {"unit", "h"}};
  const Json answer{{"danger",
                     {{"syndrome", "ORE"},
                      {"syndrome_name", "kidney"},
                      {"severity", "Grave."},
                      {"gut_onset_h", hours},
                      {"organ_onset_h", nullptr}}}};
  EXPECT_THAT(say_species_show(answer, {}),
              testing::AllOf(HasSubstr("DANGER\n  kidney. Grave."), HasSubstr("first signs (gut)"),
                             testing::ContainsRegex("usually +24 to 36 h +-"),
                             testing::ContainsRegex("as read +24 to 48 h +none recorded")));
}

TEST(Say, ShutNamesAreToldByRegion) {
  const Json answer{
      {"ok", true},
      {"covered_regions", {"EU", "NA-E"}},
      {"never_above_candidate",
       {{{"id", "E98"},
         {"name", "First"},
         {"regions",
          {{{"region", "EU"}, {"shut_by", {"X01", "X02"}}},
           {{"region", "NA-E"}, {"shut_by", {"X01", "X02"}}}}}},
        {{"id", "E99"}, {"name", "Second"}, {"without_must_see", true}, {"regions", Json::array()}}}}};
  EXPECT_THAT(say_species_check(answer, {}),
              testing::AllOf(HasSubstr("2 names never above candidate in EU, NA-E"),
                             HasSubstr("E98 First; EU, NA-E: X01 X02\n"),
                             HasSubstr("E99 Second; no must-sees; grows in no covered region\n")));
}

TEST(Say, AStopTellsItsClocksItsWayBackAndItsBand) {
  const Json plan{{"ground", "x"},
                  {"stops",
                   {{{"lat", 42.001},
                     {"lon", -30.002},
                     {"arrive", "2026-05-12T09:40:10-01:00"},
                     {"search_minutes", 20.4},
                     {"leave_by", "2026-05-12T10:00:59-01:00"},
                     {"turn_back", "2026-05-12T18:22:59-01:00"},
                     {"return_minutes", 31.2},
                     {"bearing_deg", 214},
                     {"distance_m", 1609.344},
                     {"median_finds", 0.5},
                     {"low90", 0.1},
                     {"high90", 1.9},
                     {"leave_after", {14, 33}},
                     {"area_m2", 8100}}}}};
  EXPECT_THAT(
      say_plan(plan, {}),
      testing::AllOf(HasSubstr("Arrive 09:40   search 20 min   leave by 10:00"),
                     HasSubstr("TURN BACK 18:22 at the latest: 31 min back, bearing 214° true, 1.6 km"),
                     HasSubstr("0.50 finds (90 % band 0.10 to 1.90)"),
                     HasSubstr("0 finds: leave after 14 min; 1: 33 min"), HasSubstr("0.810 ha")));
  EXPECT_THAT(say_plan(plan, {true}), testing::AllOf(HasSubstr("1.0 mi"), HasSubstr("2.00 acres")));
}

// Exact by definition: 1 mi = 1609.344 m, 1 ft = 0.3048 m, 1 in = 25.4 mm, 0 °C = 32 °F, 1 acre = 43 560 ft².
TEST(UnitWords, OfTheOtherSystem) {
  const Units us{true}, metric;
  EXPECT_EQ(us.way(3 * 1609.344), "3.0 mi");
  EXPECT_EQ(us.way(304.8), "1000 ft");
  EXPECT_EQ(us.height(30.48), "100 ft");
  EXPECT_EQ(us.rain(25.4), "1.00 in");
  EXPECT_EQ(us.temperature(0), "32 °F");
  EXPECT_EQ(us.area(4046.8564224), "1.00 acres");
  EXPECT_EQ(us.density(1 / 0.40468564224), "1.00 finds/acre");
  EXPECT_EQ(metric.way(999.4), "999 m");
  EXPECT_EQ(metric.way(4200), "4.2 km");
  EXPECT_EQ(metric.density(0.0787), "0.0787 finds/ha");
  EXPECT_EQ(metric.height(std::nullopt), "?");
}

TEST(UnitWords, InTextsOfTheProgram) {
  const Units us{true};
  EXPECT_EQ(us.in_words("soil 10 °C (mean of 7 days), inside the 5-15 °C window", true),
            "soil 50 °F (mean of 7 days), inside the 41-59 °F window");
  EXPECT_EQ(us.in_words("air -10 °C, below the -5 to 20 °C window", true),
            "air 14 °F, below the 23 to 68 °F window");
  EXPECT_EQ(us.in_words("rain 3-10 days back 127 mm", true), "rain 3-10 days back 5.00 in");
  EXPECT_EQ(Units{}.in_words("10 °C", true), "10 °C");
}

TEST(Wrapping, CountsCharactersKeepsColumnsAndBreaksNoWord) {
  const std::string text = wrapped(std::string(30, 'a') + " " + "µ°é " + std::string(43, 'b') + " c", 2, 2);
  EXPECT_EQ(text, "  " + std::string(30, 'a') + " µ°é " + std::string(43, 'b') + "\n    c\n");
  EXPECT_EQ(wrapped("id   name", 2), "  id   name\n");
  EXPECT_EQ(wrapped(std::string(100, 'x')), std::string(100, 'x') + "\n");
}

TEST(Page, DropsWhatWouldSteerATerminal) {
  EXPECT_THAT(Page().line("a\x1b[31mb").text(), testing::Not(HasSubstr("\x1b")));
}

TEST(Values, AreReadWholeOrRefused) {
  EXPECT_EQ(place_of("--at", "-42.5,30"), (LatLon{.lat_deg = -42.5, .lon_deg = 30}));
  EXPECT_DOUBLE_EQ(around_of("--around", "42,-30,6.5").radius_km, 6.5);
  EXPECT_EQ(clock_min_of("--depart", "08:30"), 510);
  for (const char* word : {"", "42", "42,", "42,x", "42;30", "91,0", "0,181", "nan,0", "42,30,1"})
    EXPECT_THROW(place_of("--at", word), Error) << word;
  for (const char* word : {"", "inf", "nan", "1,5", "1e999", "2 km"})
    EXPECT_THROW(number_of("--km", word), Error) << word;
  for (const char* word : {"", "1.5", "99999999999", "x"})
    EXPECT_THROW(integer_of("--days", word), Error) << word;
}

}  // namespace
}  // namespace stumpwise::cli
