#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "files.h"

namespace stumpwise::species {
namespace {

using testing::HasSubstr;
using testing_files::Copy;

const std::string kE01 = "taxa/E01-cerioporus-squamosus.toml";
const std::string kE05 = "taxa/E05-laetiporus-sulphureus.toml", kPairs = "readings/pairs-one.toml",
                  kDangers = "readings/dangers-two-a.toml";
const std::string kX09 = "taxa/X09-cortinarius-rubellus.toml";

/// True where an issue stands in this file and line and says this.
bool holds(const std::vector<Issue>& issues, const std::string& file, int line, const std::string& text) {
  for (const Issue& issue : issues)
    if (issue.file == "profiles/" + file && issue.line == line &&
        to_text(issue).find(text) != std::string::npos)
      return true;
  return false;
}

TEST(Reader, TheProfilesOfTheBookHaveNoFault) {
  const auto parsed = Library::read(testing_files::source());
  EXPECT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  EXPECT_EQ(parsed.value.profiles().size(), 136u);
}

struct Fault {
  const char* what;
  std::string file, from, to, says;
};
class Planted : public testing::TestWithParam<Fault> {};

TEST_P(Planted, IsReportedWithFileLineAndField) {
  Copy copy;
  const Fault& fault = GetParam();
  const int line = copy.replace(fault.file, fault.from, fault.to);
  const auto parsed = copy.read();
  EXPECT_FALSE(parsed.ok());
  EXPECT_TRUE(holds(parsed.issues, fault.file, line, fault.says)) << fault.says << "\n"
                                                                  << base::to_text(parsed.issues);
}

INSTANTIATE_TEST_SUITE_P(
    Reader, Planted,
    testing::Values(
        Fault{"unknown key", kE01, "family = ", "famly = ", "famly: is not a known key; perhaps \"family\""},
        Fault{"unknown state", kE01, "C20 = [\"solid\"]", "C20 = [\"sollid\"]",
              "\"sollid\" is not a state of C20; perhaps \"solid\""},
        Fault{"unknown character", kE01, "C20 = [", "C99 = [", "characters.C99"},
        Fault{"text where a number belongs", kE01, "C11 = { min = 20,", "C11 = { min = \"20\",",
              "characters.C11.min: is a text"},
        Fault{"wrong unit", kE01, "max = 600, unit = \"mm\"", "max = 600, unit = \"cm\"",
              "is \"cm\", must be \"mm\""},
        Fault{"range does not rise", kE01, "usual = [50, 300]", "usual = [300, 50]", "must rise"},
        Fault{"outside the limits", kE01, "max = 600, unit", "max = 6000, unit", "6000 is outside 2 to 1000"},
        Fault{"unknown source", kE01, "source = \"watling-1973\"", "source = \"watlin-1973\"",
              "perhaps \"watling-1973\""},
        Fault{"month 13", kE01, "months = [4,", "months = [13,", "whole numbers from 1 to 12"},
        Fault{"months fall", kE01, "months = [4, 5", "months = [5, 4", "must rise"},
        Fault{"unknown region", kE01, "\"NA-E\"", "\"NA-Q\"", "\"NA-Q\" is not in profiles/regions.toml"},
        Fault{"host weight above 1", kE01, "Fraxinus = 0.6", "Fraxinus = 1.6", "1.6 is outside 0.01 to 1"},
        Fault{"host in lower case", kE01, "Fraxinus = 0.6", "fraxinus = 0.6", "begins with a capital letter"},
        Fault{"unknown guild", kE01, "guild = \"spring-hardwood-polypore\"", "guild = \"spring\"",
              "\"spring\" is not in profiles/guilds.toml"},
        Fault{"no day", kE01, "peak = \"05-10\"", "peak = \"05-32\"", "is not a day of the year"},
        Fault{"unknown covariate", kE01, "wetness = [", "wetnes = [", "is not a covariate"},
        Fault{"spread of nought", kE01, "host = [0.8, 0.4]", "host = [0.8, 0]", "the spread must be above 0"},
        Fault{"flag that is a text", kE05, "blocked = true", "blocked = \"yes\"",
              "blocked: is a text, not true or false"},
        Fault{"open pair without characters", kX09, "[[pair]]\nwith = \"E14\"\ncharacters",
              "[[pair]]\nwith = \"E14\"\n#", "characters: is missing"},
        Fault{"part that is none", kE01, "parts = [\"cap\", \"rim\"]", "parts = [\"cap\", \"hat\"]",
              "\"hat\" is no part; parts: cap, stipe, rim, fronds, whole-body, flesh"},
        Fault{"freshness", kE01, "freshness = \"ordinary\"", "freshness = \"good\"",
              "must be one of hours, fragile, ordinary, lasting"},
        Fault{"drying", kE01, "drying = \"powder-only\"", "drying = \"yes\"",
              "must be one of good, powder-only, poor, not"},
        Fault{"margin below the whole", kE01, "margin_to_mm = 120", "margin_to_mm = 40",
              "must be above whole_to_mm 50"},
        Fault{"days fall", kE01, "tender_days = [5, 10]", "tender_days = [10, 5]",
              "must rise: [least, most]"},
        Fault{"no cooking time", kE01, "cook_minutes = 15", "cook_minutes = 0", "0 is outside 1 to 240"},
        Fault{"unknown key of take", kE01, "drying = ", "dryin = ", "dryin: is not a known key"},
        Fault{"source of a field that is not there", kE01, "sources = { tender_days = \"assumption\"",
              "sources = { tender = \"assumption\"", "\"tender\" is not given here"},
        Fault{"action missing", "characters.toml", "action = ", "actoin = ", "actoin: is not a known key"},
        Fault{"reading's character", kPairs, "characters = [\"C", "characters = [\"D",
              "is not a character of"},
        Fault{"reading's key", kPairs, "why = ", "wy = ", "wy: is not a known key"},
        Fault{"reading's source", kPairs, "why = ", "source = \"nowhere-1900\"\nwhy = ",
              "\"nowhere-1900\" is not in profiles/sources.toml"},
        Fault{"danger reading's state", kDangers, "C01 = [\"blade-gills\"]", "C01 = [\"blade-gils\"]",
              "\"blade-gils\" is not a state of C01; perhaps \"blade-gills\""},
        Fault{"danger reading's key", kDangers, "doubt = ", "doubts = ", "doubts: is not a known key"},
        Fault{"unknown syndrome", kX09, "syndrome = \"ORE\"", "syndrome = \"ORX\"",
              "\"ORX\" is not in profiles/syndromes.toml"},
        Fault{"unknown group", kX09, "group = \"dangerous\"", "group = \"deadly\"",
              "must be edible, conditional, harmless or dangerous"},
        Fault{"id and file differ", kX09, "id = \"X09\"", "id = \"X08\"",
              "does not begin the name of the file"},
        Fault{"unknown evidence group", "characters.toml", "group = \"HY\"", "group = \"HX\"",
              "must be one of HY"},
        Fault{"guild order", "guilds.toml", "t_opt_degc = 15", "t_opt_degc = 29",
              "must lie between t_min_degc"},
        Fault{"onset", "syndromes.toml", "usual = [6, 24]", "usual = [24, 6]", "must rise"}));

TEST(Reader, AMarginSaysHowWideItIs) {
  Copy copy;
  copy.replace(kE01, "margin_mm = [10, 30]\n", "");
  EXPECT_THAT(base::to_text(copy.read().issues),
              HasSubstr("take.margin_mm: is missing: how wide is the rim?"));
}

TEST(Reader, ABlockedPairMayNameNoCharacter) {
  Copy copy;
  copy.set_line(kE05, "with = \"X45\"", "characters", "");
  EXPECT_TRUE(copy.read().ok());
}

TEST(Reader, APairIsReadOnceByEachReader) {
  Copy copy;
  const std::string row =
      "\n[[reading]]\na = \"E01\"\nb = \"X60\"\nblocked = true\nwhy = \"Nothing.\"\nsource = \"memory\"\n";
  copy.append(kPairs, row + row);
  EXPECT_THAT(base::to_text(copy.read().issues), HasSubstr("the pair E01 and X60 stands twice in this file"));
}

TEST(Reader, NeedsNameACharacterAboveAndItsStates) {
  Copy copy;
  copy.append(
      "characters.toml",
      "\n[[character]]\nid = \"C98\"\nname = \"x\"\ngroup = \"HY\"\nstates = [\"a\"]\nmisread = 0.1\n"
      "minutes = 1\nhow = \"G\"\naction = \"x\"\nneeds = { character = \"C99\", states = [\"pores\"] }\n"
      "\n[[character]]\nid = \"C99\"\nname = \"x\"\ngroup = \"HY\"\nstates = [\"a\"]\nmisread = 0.1\n"
      "minutes = 1\nhow = \"G\"\naction = \"x\"\nneeds = { character = \"C01\", states = [\"poors\"] }\n");
  const std::string said = base::to_text(copy.read().issues);
  EXPECT_THAT(said, HasSubstr("\"C99\" does not stand above C98"));
  EXPECT_THAT(said, HasSubstr("\"poors\" is not a state of C01; perhaps \"pores\""));
}

TEST(Reader, TheVocabularySaysHowAndWhere) {
  const Library& book = testing_files::book();
  for (const Character& row : book.characters()) {
    EXPECT_FALSE(row.action.empty()) << row.id;
    EXPECT_EQ(row.how.find_first_not_of("GHBPRM "), std::string::npos) << row.id;
  }
  const Character& pores = *book.character("C02");
  EXPECT_EQ(pores.needs, "C01");
  EXPECT_THAT(pores.needs_states, testing::Contains("pores"));
}

TEST(Reader, TakeIsReadWithTheSourceOfEachNumber) {
  const Take& take = *testing_files::book().find("E01")->take;
  EXPECT_EQ(take.whole_to_mm, std::optional<double>(50));
  EXPECT_EQ(take.margin_to_mm, std::optional<double>(120));
  EXPECT_EQ(take.margin_mm, (std::pair<double, double>{10, 30}));
  EXPECT_EQ(take.stock_parts, std::vector<std::string>{"stipe"});
  EXPECT_EQ(take.sources.at("whole_to_mm"), "common-practice");
  EXPECT_EQ(take.sources.at("visible_days"), "assumption");
  EXPECT_FALSE(testing_files::book().find("X09")->take);
}

TEST(Reader, AllFaultsOfAllFilesComeAtOnce) {
  Copy copy;
  const int a = copy.replace(kE01, "C20 = [\"solid\"]", "C20 = [\"sollid\"]");
  const int b = copy.replace(kE01, "Fraxinus = 0.6", "Fraxinus = -1");
  const int c = copy.replace(kX09, "months = [7,", "months = [0,");
  const int d = copy.replace("regions.toml", "name = \"temperate Europe\"", "nom = \"temperate Europe\"");
  const auto parsed = copy.read();
  EXPECT_TRUE(holds(parsed.issues, kE01, a, "sollid"));
  EXPECT_TRUE(holds(parsed.issues, kE01, b, "Fraxinus"));
  EXPECT_TRUE(holds(parsed.issues, kX09, c, "months"));
  EXPECT_TRUE(holds(parsed.issues, "regions.toml", d, "nom"));
}

TEST(Reader, ASyntaxErrorStopsOneFileOnly) {
  Copy copy;
  const int line = copy.replace(kE01, "family = \"Polyporaceae\"", "family = Polyporaceae");
  const auto parsed = copy.read();
  EXPECT_TRUE(holds(parsed.issues, kE01, line, "nothing else of this file was read"))
      << base::to_text(parsed.issues);
  EXPECT_EQ(parsed.value.profiles().size(), 135u);
}

TEST(Reader, AMissingFolderIsAFaultAndNoCrash) {
  base::TemporaryFolder empty;
  const auto parsed = Library::read(empty.path());
  EXPECT_FALSE(parsed.ok());
  EXPECT_GE(parsed.issues.size(), 6u);
}

TEST(Reader, TwoFilesWithOneIdAreAFault) {
  Copy copy;
  std::filesystem::copy_file(copy.path(kE01), copy.path("taxa/E01-twin.toml"));
  EXPECT_THAT(base::to_text(copy.read().issues), HasSubstr("is also the id of"));
}

TEST(Reader, PartsMayBeWrittenWithoutQuotes) {
  Copy copy;
  copy.replace(kE01, "\"C32.q\" = { min = 2.0,", "C32.q = { min = 2.1,");
  const auto parsed = copy.read();
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  EXPECT_DOUBLE_EQ(parsed.value.find("E01")->characters.at("C32.q").range->min, 2.1);
}

TEST(Reader, TheVersionFollowsEveryByteAndNothingElse) {
  Copy a, b;
  EXPECT_EQ(a.read().value.version(), b.read().value.version());
  EXPECT_EQ(a.read().value.version(), testing_files::book().version());
  EXPECT_EQ(a.read().value.version().size(), 64u);
  b.append("sources.toml", "\n# a remark\n");
  EXPECT_NE(a.read().value.version(), b.read().value.version());
}

TEST(Reader, AProfileOverridesItsGuildAndCarriesTheSourceOfBoth) {
  Copy copy;
  copy.replace(kE01, "guild = \"spring-hardwood-polypore\"",
               "guild = \"spring-hardwood-polypore\"\nrain_mm = 18\nfrost_kill_degc = -4");
  const auto parsed = copy.read();
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  const Triggers& own = parsed.value.find("E01")->triggers;
  const Triggers& before = testing_files::book().find("E01")->triggers;
  EXPECT_DOUBLE_EQ(own.rain_mm, 18);
  EXPECT_EQ(own.frost_kill_degc, std::optional<double>(-4));
  EXPECT_FALSE(before.frost_kill_degc);
  EXPECT_DOUBLE_EQ(own.t_opt_degc, before.t_opt_degc);
  EXPECT_EQ(own.sources.at("rain_mm"), "assumption");
  EXPECT_EQ(before.guild, "spring hardwood polypore");
}

TEST(Regions, AreParsedAndUnknownOnesRefusedWithTheKnown) {
  const Library& book = testing_files::book();
  EXPECT_EQ(book.parse_regions("EU+NA-E"), (std::vector<std::string>{"EU", "NA-E"}));
  EXPECT_EQ(book.parse_regions(" na-e + EU + eu"), (std::vector<std::string>{"NA-E", "EU"}));
  for (const char* wrong : {"", "EU+", "Atlantis", "EU,NA-E"}) {
    try {
      book.parse_regions(wrong);
      FAIL() << wrong;
    } catch (const Error& error) {
      EXPECT_EQ(error.code(), ErrorCode::bad_value);
      EXPECT_THAT(error.mend(), HasSubstr("NA-W"));
    }
  }
}

}  // namespace
}  // namespace stumpwise::species
