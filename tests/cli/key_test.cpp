// `stumpwise key` as a person and as a program would ask it, without a book.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "run.h"
#include "stumpwise/base/text.h"
#include "stumpwise/caution/caution.h"

namespace stumpwise::cli_test {
namespace {

using nlohmann::json;
using testing::AllOf;
using testing::AnyOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::IsSupersetOf;
using testing::Not;
using testing::StartsWith;

using Words = std::vector<std::string>;

Words with(Words words, const Words& more) {
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

const Words kAsk{"key", "--region", "EU"};

json answer(const Words& words) {
  const Ran ran = run(with(words, {"--json"}));
  EXPECT_EQ(ran.status, 0) << base::join(words, " ") << "\n" << ran.err;
  return ran.status == 0 ? json::parse(ran.out) : json();
}

/// Of a European key with these readings.
json seen(const Words& readings, const Words& more = {}) {
  return answer(with(with(with(kAsk, {"--seen"}), readings), more));
}

template <typename Item>
Words all(const json& list, Item item) {
  Words words;
  for (const json& each : list) words.push_back(each.at(item));
  return words;
}

TEST(Key, AnswersWithTheKeysOfTheContractAndNeedsNoBook) {
  NEEDS_THE_PROGRAM();
  const json key = seen({"C01=pores", "C20=solid@cut"}, {"--name", "E01"});
  for (const char* name : {"standing", "undefeated", "names", "none_of_these", "next", "cautions"})
    EXPECT_TRUE(key.contains(name)) << name;
  ASSERT_FALSE(key.at("undefeated").empty());
  for (const json& danger : key.at("undefeated"))
    EXPECT_TRUE(danger.at("id").is_string() && danger.at("name").is_string() &&
                danger.at("missing").is_array() && danger.at("llr").is_number())
        << danger;
  for (const json& name : key.at("names"))
    EXPECT_TRUE(name.at("id").is_string() && name.at("posterior").is_number()) << name;
  ASSERT_FALSE(key.at("next").empty());
  for (const json& next : key.at("next"))
    EXPECT_TRUE(next.at("character").is_string() && next.at("minutes").get<double>() > 0 &&
                next.at("settles").is_number_integer() && !next.at("why").get<std::string>().empty())
        << next;
  EXPECT_EQ(key.at("piece"), nullptr);
  // A book that the shell names and that is not there is no fault here; one that the command names is.
  EXPECT_EQ(run(kAsk, "STUMPWISE_BOOK=/nowhere/none.gpkg").status, 0);
  const Ran named = run(with(kAsk, {"--book", "/nowhere/none.gpkg"}));
  EXPECT_EQ(named.status, 1);
  EXPECT_THAT(named.err, HasSubstr("/nowhere/none.gpkg"));
}

TEST(Key, WithoutAnyReadingEveryDangerOfTheRegionStands) {
  NEEDS_THE_PROGRAM();
  const json key = answer(kAsk);
  EXPECT_EQ(key.at("standing"), "unresolved");
  EXPECT_EQ(key.at("name"), nullptr);
  EXPECT_GE(key.at("undefeated").size(), 40u);
  // Without a region: all dangers of the book, and the gate says why it stays shut.
  const json nowhere = answer({"key"});
  EXPECT_GT(nowhere.at("undefeated").size(), key.at("undefeated").size());
  EXPECT_FALSE(nowhere.at("shut_by").empty());
  EXPECT_EQ(nowhere.at("regions"), json::array());
}

TEST(Key, PersonsReadDangersBeforeNamesAndNamesBeforeWhatToLookAt) {
  NEEDS_THE_PROGRAM();
  const Ran ran = run(with(kAsk, {"--seen", "C01=blade-gills", "C42=tuft-fused", "--name", "O20"}));
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, StartsWith("Standing: unresolved, asked as O20 Kuehneromyces mutabilis\n"));
  const auto danger = ran.out.find("X04 Galerina marginata"), names = ran.out.find("Names that fit"),
             none = ran.out.find("may be none of these"), next = ran.out.find("Look at next"),
             must = ran.out.find("C19 stipe surface: not observed"), cautions = ran.out.find("Cautions\n");
  for (const auto at : {danger, names, none, next, must, cautions}) ASSERT_NE(at, std::string::npos);
  EXPECT_TRUE(danger < must && must < names && names < none && none < next && next < cautions) << ran.out;
  EXPECT_THAT(caution::forbidden_wording(ran.out), IsEmpty());
  for (const std::string& line : base::split(ran.out, '\n')) EXPECT_LE(line.size(), 82u) << line;
}

TEST(Key, WordsOfItsAnswersAreCleanWhateverIsRead) {
  NEEDS_THE_PROGRAM();
  for (const Words& readings :
       std::vector<Words>{{"C01=pores"},
                          {"C01=false-ridges", "C31=rust"},
                          {"C01=enclosed-gleba", "C48=homogeneous@cut"},
                          {"C01=pitted", "C20=one-hollow@cut", "C47=fused-to-stipe@cut"},
                          {"C01=blade-gills", "C31=white", "C23=sac@dug", "C08=white"}})
    for (const Words& more : std::vector<Words>{{}, {"--next"}, {"--units", "us"}}) {
      const Ran ran = run(with(with(with(kAsk, {"--seen"}), readings), more));
      ASSERT_EQ(ran.status, 0) << ran.err;
      EXPECT_THAT(caution::forbidden_wording(ran.out), IsEmpty()) << readings.front();
      for (const char* food : {"edible", "eaten", "food", "recipe"})
        for (const std::string& line : base::split(ran.out, '\n'))
          EXPECT_FALSE(line.find('%') != std::string::npos && line.find(food) != std::string::npos) << line;
      EXPECT_THAT(ran.out, HasSubstr("When in doubt, throw it out."));
    }
}

TEST(Key, NextIsTheListAloneAndMoreOfIt) {
  NEEDS_THE_PROGRAM();
  const Words ask = with(kAsk, {"--seen", "C01=blade-gills", "--name", "O20"});
  const Ran ran = run(with(ask, {"--next"}));
  EXPECT_THAT(ran.out, AllOf(HasSubstr("dangers undefeated"), HasSubstr("1. "), HasSubstr("12. "),
                             HasSubstr("minute"), Not(HasSubstr("Names that fit"))));
  const json few = answer(ask), more = answer(with(ask, {"--next"}));
  EXPECT_GT(more.at("next").size(), few.at("next").size());
  // What must be seen for the name is always among them, however long it takes.
  for (const json& must : few.at("must_see"))
    if (must.at("state") == "not observed") {
      EXPECT_THAT(all(few.at("next"), "character"), Contains(must.at("character").get<std::string>()));
    }
  EXPECT_THAT(few.at("next").at(0).at("why").get<std::string>(), HasSubstr("would "));
}

TEST(Key, OrderOfReadingsDoesNotMatterAndTheLastOfOneCharacterCounts) {
  NEEDS_THE_PROGRAM();
  json one = seen({"C01=pores", "C20=solid@cut", "C31=white"}),
       other = seen({"C31=white", "C01=pores", "C20=solid@cut"});
  for (json* each : {&one, &other}) each->erase("readings");
  EXPECT_TRUE(one == other);
  const json replaced = seen({"C31=rust", "C01=pores"}, {"--seen", "C31=white"});
  ASSERT_EQ(replaced.at("readings").size(), 2u);
  EXPECT_THAT(all(replaced.at("readings"), "text"), ElementsAre("C01=pores", "C31=white"));
}

TEST(Key, UnsureAndNotObservedAndAbsentAreThreeThings) {
  NEEDS_THE_PROGRAM();
  const json unsure = seen({"C31=white|cream"}), absent = seen({"C22=none"});
  EXPECT_TRUE(unsure.at("readings")[0].at("unsure").get<bool>());
  EXPECT_EQ(unsure.at("readings")[0].at("states"), json({"white", "cream"}));
  EXPECT_FALSE(absent.at("readings")[0].at("unsure").get<bool>());
  // An absent ring counts against nobody (G4).
  for (const json& danger : absent.at("undefeated"))
    EXPECT_THAT(danger.at("contradicted_by"), Not(Contains(json("C22")))) << danger.at("id");
  EXPECT_EQ(absent.at("defeated"), json::array());
  // G5: a named character that is unsure holds the pair.
  const json shut = seen({"C31=white|rust"}, {"--name", "E14"});
  for (const json& danger : shut.at("undefeated"))
    if (danger.at("id") == "X09") {
      EXPECT_EQ(danger.at("against"), json({"C31"}));
    }
}

TEST(Key, NumbersAreTakenInTheUnitsThatPeopleMeasureIn) {
  NEEDS_THE_PROGRAM();
  const std::vector<std::tuple<std::string, double, double>> table{
      {"C11=5 cm", 50, 50},     {"C11=2 in", 50.8, 50.8},    {"C11=50", 50, 50},
      {"C11=4-6 CM", 40, 60},   {"C11=0.3 m", 300, 300},     {"C32.length=9.5 µm", 9.5, 9.5},
      {"C32.length=9um", 9, 9}, {"C06.count=40/cm", 40, 40}, {"C06.count=2/mm", 20, 20},
      {"C02=20/cm", 2, 2},      {"C32.q=1.6", 1.6, 1.6},     {"c11 = 7 mm @ cut", 7, 7}};
  for (const auto& [text, low, high] : table) {
    const json key = seen({text});
    ASSERT_EQ(key.at("readings").size(), 1u) << text;
    EXPECT_NEAR(key.at("readings")[0].at("low").get<double>(), low, 1e-9) << text;
    EXPECT_NEAR(key.at("readings")[0].at("high").get<double>(), high, 1e-9) << text;
  }
  // For a person with their unit, for one who asks so in inches; never in the JSON.
  const Words ask = with(kAsk, {"--seen", "C11=2 in"});
  EXPECT_THAT(run(ask).out, HasSubstr("C11 cap diameter: 50.8 mm"));
  EXPECT_THAT(run(with(ask, {"--units", "us"})).out, HasSubstr("C11 cap diameter: 2.00 in"));
  json metric = answer(ask), us = answer(with(ask, {"--units", "us"}));
  for (json* each : {&metric, &us}) (*each)["readings"][0].erase("at");
  EXPECT_EQ(metric, us);
}

TEST(Key, ReadingsThatAreOffAreRefusedWithWhatIsAllowed) {
  NEEDS_THE_PROGRAM();
  struct Bad {
    std::string reading, said, mend;
  };
  const std::vector<Bad> table{
      {"C99=white", "\"C99\" is no character", "characters.toml"},
      {"print=white", "\"print\" is no character", "C01 to"},
      {"C31", "no reading", "CHARACTER=STATE"},
      {"=white", "no reading", "CHARACTER=STATE"},
      {"C31=", "has no value", "white, cream"},
      {"C31= @micro", "has no value", "white"},
      {"C31=whit", "\"whit\" is no state; perhaps white", "tobacco-brown"},
      {"C31=white|", "\"\" is no state", "States:"},
      {"C31=white,cream", "is no state", "States:"},
      {"C32=9", "read in parts", "C32.length, C32.width, C32.q"},
      {"C11=", "has no value", "number with its unit"},
      {"C11=5 ell", "\"5 ell\" is no number with a unit", "cm"},
      {"C11=5/cm", "is no number with a unit", "mm"},
      {"C11=5,5 cm", "is no number with a unit", "cm"},
      {"C11=six", "is no number with a unit", "cm"},
      {"C11=6-4 cm", "is no number with a unit", "cm"},
      {"C11=-5 cm", "is no number with a unit", "cm"},
      {"C11=nan", "is no number with a unit", "cm"},
      {"C11=1e999", "is no number with a unit", "cm"},
      {"C11=0", "0 mm is outside 2 to 1000 mm", "unit"},
      {"C11=300 cm", "300 cm is outside 2 to 1000 mm", "unit"},
      {"C32.length=2 mm", "2 mm is outside 2 to 100 um", "unit"},
      {"C20=solid@halved", "\"@halved\" does not say how it was read", "dug, cut, micro"},
      {"C20=solid@", "does not say how it was read", "seconds"},
      {"C26.change=none@-5", "does not say how it was read", "0 to 86400"},
      {"C26.change=none@100000", "does not say how it was read", "0 to 86400"},
      {"C31=\x1b[31mwhite\x07", "is no state", "States:"},
  };
  for (const Bad& bad : table) {
    SCOPED_TRACE(bad.reading);
    const Ran ran = run(with(kAsk, {"--seen=" + bad.reading}));
    EXPECT_EQ(ran.status, 2);
    EXPECT_THAT(ran.out, IsEmpty());
    EXPECT_THAT(ran.err, AllOf(StartsWith("stumpwise: "), HasSubstr(bad.said), HasSubstr(bad.mend)));
    EXPECT_THAT(ran.err, Not(AnyOf(HasSubstr("\x1b"), HasSubstr("\x07"))));
  }
}

TEST(Key, OtherWordsThatAreOffAreRefused) {
  NEEDS_THE_PROGRAM();
  struct Bad {
    Words words;
    int status;
    std::string said, mend;
  };
  const std::vector<Bad> table{
      {{"key", "--region", "XX"}, 2, "region \"XX\" is not known", "NA-E"},
      {{"key", "--region", "EU+"}, 2, "region \"\" is not known", "NA-E"},
      {{"key", "--region", "EU", "--name", "Quercus robur"}, 1, "\"Quercus robur\"", "species list"},
      {{"key", "--region", "EU", "--experience", "wizard"}, 2, "\"wizard\"", "novice, trained or expert"},
      {{"key", "--region", "EU", "--date", "2026-02-31"}, 2, "2026-02-31", ""},
      {{"key", "--at", "142,0"}, 2, "142", ""},
      {{"key", "--piece", "one"}, 2, "\"one\"", "whole number"},
      {{"key", "--piece", "1"}, 2, "no book was named", "--book"},
      {{"key", "--take-back", "C31"}, 2, "only a piece of the book", "--piece N"},
      {{"key", "--begin", "C31"}, 2, "only a piece of the book", "--piece N"},
      {{"key", "--ground", "home"}, 2, "no book was named", "--book"},
      {{"key", "--seen"}, 2, "--seen", ""},
      {{"key", "C01=pores"}, 2, "too many words", ""},
  };
  for (const Bad& bad : table) {
    SCOPED_TRACE(base::join(bad.words, " "));
    const Ran ran = run(bad.words);
    EXPECT_EQ(ran.status, bad.status);
    EXPECT_THAT(ran.out, IsEmpty());
    EXPECT_THAT(ran.err, AllOf(StartsWith("stumpwise: "), HasSubstr(bad.said), HasSubstr(bad.mend)));
  }
}

TEST(Key, AHugeListIsReadAndTheLastCounts) {
  NEEDS_THE_PROGRAM();
  Words readings(4000, "C11=5 cm");
  readings.push_back("C11=7 cm");
  const json key = seen(readings);
  ASSERT_EQ(key.at("readings").size(), 1u);
  EXPECT_EQ(key.at("readings")[0].at("low"), 70);
  const Ran long_word = run(with(kAsk, {"--seen", "C31=" + std::string(100'000, 'w')}));
  EXPECT_EQ(long_word.status, 2);
  EXPECT_THAT(long_word.err, HasSubstr("is no state"));
}

TEST(Key, ContradictionsAreExplainedWithTheTwoReadings) {
  NEEDS_THE_PROGRAM();
  const json key = seen({"C01=teeth", "C31=rust"});
  ASSERT_EQ(key.at("clashes").size(), 1u) << key.at("clashes");
  EXPECT_EQ(key.at("clashes")[0].at("characters"), json({"C01", "C31"}));
  EXPECT_THAT(key.at("clashes")[0].at("text").get<std::string>(),
              AllOf(HasSubstr("teeth"), HasSubstr("rust"), HasSubstr("check these two first")));
  EXPECT_EQ(seen({"C01=blade-gills", "C31=rust"}).at("clashes"), json::array());
  // Tubes where there are gills.
  const json tubes = seen({"C01=blade-gills", "C04=9 mm"});
  ASSERT_FALSE(tubes.at("clashes").empty());
  EXPECT_THAT(tubes.at("clashes")[0].at("text").get<std::string>(), HasSubstr("does not apply"));
  for (const json& danger : tubes.at("undefeated"))
    EXPECT_THAT(danger.at("contradicted_by"), Not(Contains(json("C04")))) << danger.at("id");
}

TEST(Key, PriorsRankNamesAndNeverTouchTheGate) {
  NEEDS_THE_PROGRAM();
  const Words readings{"C01=false-ridges", "C20=one-hollow@cut", "C31=white"};
  const json plain = seen(readings, {"--name", "E14", "--date", "2026-10-10"});
  for (const Words& more : std::vector<Words>{{"--date", "2026-05-10"},
                                              {"--date", "2026-10-10", "--experience", "expert"},
                                              {"--date", "2026-10-10", "--experience", "novice"},
                                              {"--date", "2026-10-10", "--by", "Ann"},
                                              {"--date", "2026-10-10", "--at", "51.2,9.5"}}) {
    const json other = seen(readings, with({"--name", "E14"}, more));
    for (const char* part : {"undefeated", "defeated", "shut_by", "must_see"})
      EXPECT_EQ(other.at(part), plain.at(part)) << part << " with " << base::join(more, " ");
  }
  EXPECT_NE(seen(readings, {"--name", "E14", "--date", "2026-05-10"}).at("names"), plain.at("names"));
}

TEST(Key, ARegionWhoseDangersAreNotCoveredSaysSo) {
  NEEDS_THE_PROGRAM();
  const json key = answer({"key", "--region", "NA-W", "--name", "E14", "--seen", "C01=false-ridges"});
  EXPECT_THAT(key.at("shut_by").dump(), HasSubstr("western North America"));
  EXPECT_EQ(key.at("regions"), json({"NA-W"}));
  // A dangerous name is judged too, and is nothing that is gathered.
  EXPECT_THAT(seen({"C01=blade-gills"}, {"--name", "X04"}).at("shut_by").dump(), HasSubstr("gathered"));
}

}  // namespace
}  // namespace stumpwise::cli_test
