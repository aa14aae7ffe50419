#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>

#include "files.h"

namespace stumpwise::species {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;
using testing_files::book;
using testing_files::Copy;

const std::string kE01 = "taxa/E01-cerioporus-squamosus.toml", kE14 = "taxa/E14-craterellus-tubaeformis.toml",
                  kX04 = "taxa/X04-galerina-marginata.toml", kX09 = "taxa/X09-cortinarius-rubellus.toml",
                  kO18 = "taxa/O18-armillaria-mellea.toml", kO22 = "taxa/O22-flammulina-velutipes.toml",
                  kE10 = "taxa/E10-cantharellus-cibarius.toml", kX23 = "taxa/X23-omphalotus-illudens.toml";

std::string faults_of(const Library& library) {
  std::vector<Issue> faults;
  for (const Issue& issue : check_library(library))
    if (issue.severity == Severity::fault) faults.push_back(issue);
  return base::to_text(faults);
}

/// A line to be replaced: the first `key` after `anchor` in the file.
struct Line {
  std::string file, anchor, key, line;
};

/// Plants what every single file may say, and returns the faults that only all files together show.
std::string planted(std::initializer_list<std::array<std::string, 3>> changes,
                    const std::vector<Line>& lines = {}) {
  Copy copy;
  for (const auto& [file, from, to] : changes) copy.replace(file, from, to);
  for (const Line& each : lines) copy.set_line(each.file, each.anchor, each.key, each.line);
  const auto parsed = copy.read();
  EXPECT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  return faults_of(parsed.value);
}

/// The pair of O22 with X04, both sides alike, told apart by `characters`.
std::vector<Line> velvet_pair(const std::string& characters) {
  return {{kO22, "with = \"X04\"", "characters", "characters = " + characters},
          {kX04, "with = \"O22\"", "characters", "characters = " + characters}};
}

TEST(Check, TheBookHasNoFault) {
  EXPECT_EQ(faults_of(book()), "");
}

TEST(Check, FindsAPairThatStandsOnOneSide) {
  EXPECT_THAT(planted({{kX09, "with = \"E14\"", "with = \"E15\""}}), HasSubstr("has no pair with E14"));
}
TEST(Check, FindsADanglingPair) {
  EXPECT_THAT(planted({{kE01, "with = \"N01\"", "with = \"N99\""}}),
              HasSubstr("N99 has no profile: mark the pair pending"));
}
TEST(Check, FindsAPendingPairWhoseOtherSideHasCome) {
  EXPECT_THAT(planted({{kE14, "with = \"X09\"", "with = \"X09\"\npending = true"}}),
              HasSubstr("pending no longer"));
}
TEST(Check, FindsOtherCharactersOnTheOtherSide) {
  EXPECT_THAT(planted({}, {{kX09, "with = \"E14\"", "characters", "characters = [\"C01\", \"C31\"]"}}),
              HasSubstr("names other characters"));
}
TEST(Check, FindsABlockOnOneSide) {
  EXPECT_THAT(planted({{kX04, "with = \"O22\"", "with = \"O22\"\nblocked = true"}}),
              HasSubstr("blocked on one side only"));
}
TEST(Check, FindsAMustSeeThatIsNotStated) {
  EXPECT_THAT(planted({{kE14, "must_see = [\"C01\",", "must_see = [\"C01\", \"C06.count\","}}),
              HasSubstr("C06.count is not stated"));
}
TEST(Check, FindsEachMissingGroupOfMustSees) {  // G7
  auto with = [](const std::string& line) { return planted({}, {{kE14, "", "must_see", line}}); };
  EXPECT_THAT(with("must_see = [\"C20\", \"C31\"]"), HasSubstr("no reading from HY"));
  EXPECT_THAT(with("must_see = [\"C01\", \"C31\"]"), HasSubstr("no reading from ST or FL"));
  EXPECT_THAT(with("must_see = [\"C01\", \"C20\"]"), HasSubstr("no reading from SP"));
  EXPECT_THAT(with(""), HasSubstr("never rises above candidate"));
}
TEST(Check, FindsAPairOfOneEvidenceGroup) {  // G2: print and spores are both SP
  EXPECT_THAT(planted({}, velvet_pair("[\"C31\", \"C33\"]")), HasSubstr("two are needed"));
}
TEST(Check, FindsAColourNamedAsASeparator) {  // G3
  EXPECT_THAT(planted({}, velvet_pair("[\"C31\", \"C19\", \"C08\"]")), HasSubstr("never counts here (G3)"));
}
TEST(Check, FindsAHabitNamedAgainstADeadlyOne) {  // G3: HB does not count against AMA
  EXPECT_THAT(planted({}, velvet_pair("[\"C31\", \"C19\", \"C17\"]")), HasSubstr("C17 is of group HB"));
}
TEST(Check, FindsAPerishableAbsenceNamedAsASeparator) {  // G4: no ring contradicts nothing, even where the
                                                         // danger states a ring
  auto lines = velvet_pair("[\"C31\", \"C19\", \"C22\"]");
  lines.push_back({kX04, "[characters]", "C22", "C22 = [\"membranous\"]"});
  EXPECT_THAT(planted({}, lines), HasSubstr("C22 does not separate"));
}
TEST(Check, FindsACharacterThatTheDangerDoesNotRecord) {  // G2
  auto lines = velvet_pair("[\"C31\", \"C19\", \"C33\"]");
  lines.push_back({kX04, "[characters]", "C33", ""});
  EXPECT_THAT(planted({}, lines), HasSubstr("C33 is not stated by X04"));
}
TEST(Check, FindsSpanThatOverlaps) {  // the middle of the name's usual range must lie outside the danger's
  EXPECT_THAT(planted({}, {{kX23, "[characters]", "\"C32.length\"",
                            "\"C32.length\" = { min = 3, usual = [5, 7], max = 9, unit = \"um\" }"}}),
              HasSubstr("C32.length does not separate"));
}
TEST(Check, FindsADangerousTaxonWithoutDanger) {
  EXPECT_THAT(planted({{kX09, "[danger]\nsyndrome = \"ORE\"",
                        "[[claim]]\nid = \"x\"\ntext = \"y\"\n[[claim]]\nid = \"z\"\ntext = \"y\"\n#"},
                       {kX09, "severity =", "#"},
                       {kX09, "cooking =", "#"}}),
              HasSubstr("danger: is missing"));
}
TEST(Check, FindsAnXThatCallsItselfEdible) {
  EXPECT_THAT(planted({{kX09, "group = \"dangerous\"", "group = \"edible\""}}),
              HasSubstr("an id with X is always dangerous"));
}
TEST(Check, FindsAQuotientThatItsSporesCannotHave) {
  EXPECT_THAT(planted({{kE01, "\"C32.q\" = { min = 2.0, usual = [2.2, 3.0], max = 3.4",
                        "\"C32.q\" = { min = 1.0, usual = [1.0, 1.2], max = 3.4"}}),
              HasSubstr("does not fit length and width"));
}
TEST(Check, FindsASeasonOutsideTheMonths) {
  EXPECT_THAT(planted({{kE01, "months = [4, 5, 6,", "months = [4, 6,"}}), HasSubstr("lack month 5"));
}
TEST(Check, FindsANameThatTwoProfilesOwn) {
  EXPECT_THAT(planted({{kO18, "text = \"Agaricus melleus\"", "text = \"Agaricus velutipes\""}}),
              HasSubstr("is also a name in"));
}
TEST(Check, FindsARegionThatClaimsTooMuch) {
  Copy copy;
  copy.append("regions.toml",
              "\n[[region]]\ncode = \"ZZ\"\nname = \"nowhere\"\ndangers_covered = true\nnote = \"-\"\n");
  EXPECT_THAT(faults_of(copy.read().value), HasSubstr("claims that its dangers are covered"));
}
TEST(Check, FindsTakeAndKitchenWhereTheyDoNotBelong) {
  const std::string take =
      "\n[take]\nparts = [\"cap\"]\ncook_minutes = 15\nfreshness = \"hours\"\ndrying = \"not\"\n";
  Copy copy;
  copy.append(kX09, take);
  copy.replace(kE01, "\n[take]\n", "\n[ground_of_nothing]\n");
  const auto parsed = copy.read();
  EXPECT_THAT(faults_of(parsed.value), HasSubstr("take: belongs to what is gathered only"));
  EXPECT_THAT(faults_of(parsed.value), HasSubstr("take: is missing: what is gathered says in numbers"));
}
TEST(Check, ListsWhatHasTooFewCharacters) {
  Copy copy;
  copy.replace(kE01, "[characters]\n", "[characters]\nC01 = [\"pores\"]\n[unused]\n");
  const auto issues = check_library(copy.read().value);
  EXPECT_TRUE(std::any_of(issues.begin(), issues.end(), [](const Issue& issue) {
    return issue.severity == Severity::warning && issue.text == "1 characters are stated, 20 are wanted";
  }));
}

// Readings: an open pair needs two that agree on every character; a danger is as wide as its second reading.
TEST(Readings, APairIsOpenOnlyAfterTwo) {
  EXPECT_THAT(planted({{"readings/pairs-two.toml", "a = \"E14\"\nb = \"X09\"", "a = \"E14\"\nb = \"X08\""}}),
              HasSubstr("is open after 1 reading(s), two independent ones are needed"));
}
TEST(Readings, OneThatLeavesItBlockedKeepsItShut) {
  EXPECT_THAT(planted({{"readings/pairs-two.toml", "a = \"E14\"\nb = \"X09\"",
                        "a = \"E14\"\nb = \"X09\"\nblocked = true"}}),
              HasSubstr("is open, but profiles/readings/pairs-two.toml leaves it blocked"));
}
TEST(Readings, EachNamesEveryCharacter) {
  EXPECT_THAT(planted({}, {{"readings/pairs-two.toml", "a = \"E14\"\nb = \"X09\"", "characters",
                            "characters = [\"C01\"]"}}),
              HasSubstr("C31 is not named in profiles/readings/pairs-two.toml"));
}
TEST(Readings, ADangerIsAsWideAsItsSecondReading) {
  EXPECT_THAT(planted({{kX04, "C01 = ", "C01 = [\"teeth\"] #"}}),
              HasSubstr("X04.C01: \"blade-gills\" is missing in"));
  EXPECT_THAT(planted({}, {{kX04, "[characters]", "\"C32.length\"",
                            "\"C32.length\" = { min = 8, usual = [8, 9], max = 9, unit = \"um\" }"}}),
              HasSubstr("X04.C32.length: is wider here than in"));
}
TEST(Readings, OfADangerWithoutProfileIsAFault) {
  Copy copy;
  copy.append("readings/dangers-two-a.toml",
              "\n[[danger]]\nid = \"X99\"\n[danger.characters]\nC01 = [\"teeth\"]\n");
  EXPECT_THAT(faults_of(copy.read().value), HasSubstr("X99.id: has no profile"));
}

TEST(Check, SaysTheLineOfWhatItFinds) {
  Copy copy;
  const int line = copy.replace(kE14, "must_see = [\"C01\",", "must_see = [\"C25\", \"C01\",");
  const auto issues = check_library(copy.read().value);
  EXPECT_TRUE(std::any_of(issues.begin(), issues.end(), [&](const Issue& issue) {
    return issue.file == "profiles/" + kE14 && issue.line == line && issue.field == "must_see";
  }));
}

TEST(Separation, CountsWhatTheGateMayCount) {
  const auto list = separating_characters(book(), *book().find("E14"), *book().find("X09"));
  for (const char* id : {"C01", "C31", "C33"}) EXPECT_THAT(list, Contains(id));
  for (const std::string& id : list) {
    const std::string group = book().character(id)->evidence_group;
    EXPECT_TRUE(group != "CO" && group != "SZ" && group != "OD" && group != "HB") << id;
  }
  // The ring is shared, and a ring that is not there is no reading.
  EXPECT_THAT(separating_characters(book(), *book().find("O22"), *book().find("X04")), Not(Contains("C22")));
}

}  // namespace
}  // namespace stumpwise::species
