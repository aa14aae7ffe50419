// What the words of the command line mean, wrong ones too, on the built program.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>

#include "../../src/cli/page.h"
#include "run.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

/// Every command and group that the program has, from the tree that its completion is made of.
std::vector<std::string> all_commands() {
  const std::string script = run({"completion", "bash"}).out;
  std::vector<std::string> names;
  const std::regex place("\n    \"stumpwise([a-z ]*)\"\\) COMPREPLY");
  for (std::sregex_iterator hit(script.begin(), script.end(), place), end; hit != end; ++hit)
    names.push_back((*hit)[1]);
  return names;
}

TEST(Help, StandsEverywhereWithAnExampleAndFitsTheTerminal) {
  NEEDS_THE_PROGRAM();
  const auto commands = all_commands();
  ASSERT_GE(commands.size(), 29u);  // the root, 5 groups, 23 commands
  for (const std::string& name : commands) {
    SCOPED_TRACE("stumpwise" + name);
    const Ran ran = shell(quoted(program().string()) + name + " --help");
    EXPECT_EQ(ran.status, 0);
    EXPECT_THAT(ran.err, IsEmpty());
    const auto example = ran.out.find("\nExample:\n");
    ASSERT_NE(example, std::string::npos);
    EXPECT_THAT(ran.out.substr(example), HasSubstr("stumpwise" + name + (name.empty() ? " demo" : "")));
    for (const std::string& line : base::split(ran.out, '\n')) EXPECT_LE(cli::width_of(line), 80u) << line;
  }
}

TEST(Help, GroupsListTheirCommands) {
  NEEDS_THE_PROGRAM();
  EXPECT_THAT(run({"weather", "--help"}).out,
              testing::AllOf(HasSubstr("add"), HasSubstr("note"), HasSubstr("forecast")));
}

TEST(Version, IsToldWithStatusZero) {
  NEEDS_THE_PROGRAM();
  const Ran ran = run({"--version"});
  EXPECT_EQ(ran.status, 0);
  EXPECT_THAT(ran.out, StartsWith("stumpwise "));
}

struct Bad {
  std::vector<std::string> words;
  std::string said, near;
};

TEST(BadUsage, EndsWithTwoSaysWhatIsWrongAndWritesNothingToTheOutput) {
  NEEDS_THE_PROGRAM();
  const std::vector<Bad> table{
      {{}, "needs a command", "--help"},
      {{"outlok"}, "\"outlok\" is no command of stumpwise", "outlook"},
      {{"ground", "ad"}, "\"ad\" is no command of stumpwise ground", "add"},
      {{"ground"}, "stumpwise ground needs a command: add, list, show", "stumpwise ground --help"},
      {{"plan", "--strat", "42,-30"}, "knows no option --strat", "--start"},
      {{"plan", "--start", "42,-30"}, "--hours is required", "stumpwise plan --help"},
      {{"plan", "--start", "42,-30", "--hours", "four"}, "--hours \"four\"", ""},
      {{"plan", "--start", "42", "--hours", "4"}, "--start \"42\"", "--start 42.01,-30.02"},
      {{"plan", "--start", "-30.02,142.01", "--hours", "4", "--must", "2", "x"},
       "--must \"x\"",
       "whole number"},
      {{"plan", "--start", "142,-30", "--hours", "4"}, "latitude -90 to 90", ""},
      {{"plan", "--start", "42,-30", "--hours", "4", "--depart", "25:10"}, "--depart \"25:10\"", "HH:MM"},
      {{"turnback", "--at", "42,-30", "--tz", "UTC", "--km", "nan", "--date", "2026-03-21"},
       "--km \"nan\"",
       ""},
      {{"turnback", "--at", "42,-30", "--tz", "UTC", "--km", "1", "--date", "2026-02-31"},
       "2026-02-31",
       "YYYY-MM-DD"},
      {{"turnback", "--at", "42,-30", "--km", "1", "--date", "2026-03-21"}, "time zone", "--tz"},
      {{"species", "list", "--units", "furlongs"}, "--units \"furlongs\"", "metric, us"},
      {{"species", "list", "--month", "13"}, "13", "1 to 12"},
      {{"species", "list", "--host", "Ulmsu"}, "no profile names this genus", "Ulmus"},
      {{"species", "list", "--group", "deadly"}, "\"deadly\"", "harmless or dangerous"},
      {{"completion", "fish"}, "\"fish\"", "bash, zsh"},
      {{"ground", "add", "x", "--dem", "a.tif", "--dem-unit", "fathom", "--region", "EU", "--tz", "UTC"},
       "--dem-unit \"fathom\"",
       "m or ft"},
      {{"weather", "forecast"}, "either a FILE or --days", "--days"},
      {{"today"}, "no book was named", "STUMPWISE_BOOK"},
      {{"serve"}, "no book was named", "--book"},
      {{"learn", "--json", "extra", "word"}, "stumpwise learn: too many words: extra word", "quotes"},
      {{"plan", "--start", "42,-30", "--hours"}, "--hours", "stumpwise plan --help"},
      {{"outing", "show", "seven"}, "\"seven\"", "whole number"},
  };
  for (const Bad& bad : table) {
    SCOPED_TRACE(base::join(bad.words, " "));
    const Ran ran = run(bad.words);
    EXPECT_EQ(ran.status, 2);
    EXPECT_THAT(ran.out, IsEmpty());
    EXPECT_THAT(ran.err, StartsWith("stumpwise: "));
    EXPECT_THAT(ran.err, HasSubstr(bad.said));
    EXPECT_THAT(ran.err, HasSubstr(bad.near));
  }
}

TEST(Failure, IsOneAndLeavesNoNewBookBehind) {
  NEEDS_THE_PROGRAM();
  const base::TemporaryFolder folder;
  const auto book = folder.path() / "new.gpkg";
  const Ran ran = run({"ground", "add", "x", "--dem", (folder.path() / "none.tif").string(), "--region", "EU",
                       "--tz", "UTC", "--book", book.string()});
  EXPECT_EQ(ran.status, 1);
  EXPECT_THAT(ran.err, HasSubstr("none.tif"));
  EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

TEST(Failure, AnOutputThatCannotBeWrittenIsTold) {
  NEEDS_THE_PROGRAM();
  if (!std::filesystem::exists("/dev/full")) GTEST_SKIP() << "no /dev/full here";
  EXPECT_EQ(shell(quoted(program().string()) + " species list > /dev/full").status, 1);
}

TEST(Species, AnUnknownNameGetsTheNearestOnes) {
  NEEDS_THE_PROGRAM();
  const Ran ran = run({"species", "show", "Cerioporus"});
  EXPECT_EQ(ran.status, 1);
  EXPECT_THAT(ran.out, IsEmpty());
  EXPECT_THAT(ran.err, testing::AllOf(HasSubstr("\"Cerioporus\""), HasSubstr("Cerioporus squamosus")));
}

TEST(Species, AnOldNameInTwoWordsIsUnderstoodAndSaid) {
  NEEDS_THE_PROGRAM();
  const Ran ran = run({"species", "show", "Polyporus", "squamosus"});
  EXPECT_EQ(ran.status, 0);
  EXPECT_THAT(ran.out,
              testing::AllOf(StartsWith("E01 "), HasSubstr("Polyporus squamosus is now Cerioporus squamosus"),
                             HasSubstr("Cautions")));
}

TEST(Species, TheListIsFilteredByMonthRegionHostAndGroup) {
  NEEDS_THE_PROGRAM();
  auto ids = [](std::vector<std::string> words) {
    words.insert(words.begin(), {"species", "list", "--json"});
    std::vector<std::string> list;
    const json answer = json::parse(run(words).out);
    for (const auto& row : answer["species"]) list.push_back(row["id"]);
    return list;
  };
  EXPECT_EQ(ids({}).size(), 136u);
  EXPECT_EQ(ids({"--group", "edible"}).size(), 24u);
  const auto elm_in_may = ids({"--month", "5", "--host", "ulmus", "--region", "EU", "--group", "edible"});
  EXPECT_THAT(elm_in_may, testing::Contains("E01"));
  EXPECT_THAT(elm_in_may, testing::Not(testing::Contains("E14")));
  EXPECT_THAT(ids({"--region", "NA-W"}), testing::Contains("X57"));
  EXPECT_THAT(ids({"--region", "EU"}), testing::Not(testing::Contains("X57")));
}

TEST(Species, RowsOfTheListCarryTheSpores) {
  NEEDS_THE_PROGRAM();
  const json all = json::parse(run({"species", "list", "--json"}).out);
  ASSERT_EQ(all["species"].size(), 136u);
  for (const auto& row : all["species"])
    for (const char* key : {"spore_length", "spore_width"}) {
      if (row.at(key).is_null()) continue;
      EXPECT_LE(row[key]["min"], row[key]["usual_min"]) << row["id"];
      EXPECT_LE(row[key]["usual_min"], row[key]["usual_max"]) << row["id"];
      EXPECT_LE(row[key]["usual_max"], row[key]["max"]) << row["id"];
      EXPECT_EQ(row[key]["unit"], "um");
    }
  const json list = json::parse(run({"species", "list", "--group", "edible", "--json"}).out);
  EXPECT_EQ(list["species"][0]["spore_length"],
            json::parse(run({"species", "show", "E01", "--json"}).out)["spore_length"]);
}

TEST(Species, EveryPageFitsTheTerminalAndNamesItsSources) {
  NEEDS_THE_PROGRAM();
  for (const char* id : {"E01", "O12", "N06", "X09"}) {
    const json answer = json::parse(run({"species", "show", id, "--json"}).out);
    const std::string page = run({"species", "show", id}).out;
    for (const auto& each : answer["references"])
      EXPECT_THAT(page, HasSubstr("  [" + each["key"].get<std::string>() + "] ")) << id;
    EXPECT_EQ(answer["take"].is_null(), id[0] == 'N' || id[0] == 'X');
    for (const std::string& line : base::split(page, '\n')) {
      const auto width = std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; });
      EXPECT_TRUE(width <= 80 || line.find(' ', line.find_first_not_of(' ')) == std::string::npos) << line;
    }
  }
}

TEST(Species, CheckTellsHowCompleteEachGroupIs) {
  NEEDS_THE_PROGRAM();
  const Ran ran = run({"species", "check", "--json"});
  EXPECT_EQ(ran.status, 0) << ran.out;
  const json answer = json::parse(ran.out);
  ASSERT_EQ(answer["groups"].size(), 4u);
  EXPECT_EQ(answer["groups"][0]["group"], "edible");
  EXPECT_EQ(answer["groups"][0]["profiles"], 24);
  EXPECT_EQ(answer["dangers"]["onsets"], answer["dangers"]["onsets_checked"]);
  for (const auto& name : answer["never_above_candidate"])
    for (const auto& region : name["regions"])
      EXPECT_THAT(answer["covered_regions"], testing::Contains(region["region"]));
  EXPECT_THAT(run({"species", "check"}).out,
              testing::AllOf(StartsWith("The profiles hold no fault.\n"), HasSubstr("136 profiles"),
                             HasSubstr("names never above candidate in EU, NA-E"),
                             testing::Not(HasSubstr("%"))));  // no share beside a food word
}

TEST(Json, IsTheAnswerAloneAndUnitsDoNotTouchIt) {
  NEEDS_THE_PROGRAM();
  const Ran plain = run({"species", "show", "E01", "--json"}),
            us = run({"species", "show", "E01", "--json", "--units", "us"});
  EXPECT_EQ(plain.out, us.out);
  const json answer = json::parse(plain.out);
  EXPECT_EQ(answer["id"], "E01");
  EXPECT_FALSE(answer["cautions"].empty());
  EXPECT_EQ(plain.out, answer.dump(2) + "\n");
}

// the-job.md H3: 18 Oct 2026, Cold Stoop (about 42.00 N, 30.00 W), 3.0 km out off-trail with 200 m climb,
// buffer 45 min, factor 1.25: outbound 75 +- 2, return 53 +- 2, sunset 18:15 +- 4, civil dusk 18:43 +- 4,
// turn-back 16:24 +- 5; with a buffer of 15 min half an hour later. Summer time in America/Nuuk: UTC-1.
const std::vector<std::string> kColdStoop{"turnback",     "--at",    "42.0,-30.0", "--tz",
                                          "America/Nuuk", "--date",  "2026-10-18", "--km",
                                          "3.0",          "--climb", "200",        "--off-trail"};

int minutes_of(const std::string& instant) {
  return std::stoi(instant.substr(11, 2)) * 60 + std::stoi(instant.substr(14, 2));
}

std::vector<std::string> with(std::vector<std::string> words, std::initializer_list<std::string> more) {
  words.insert(words.end(), more);
  return words;
}

TEST(Turnback, GivesTheNumbersOfTheScenarioWithoutABook) {
  NEEDS_THE_PROGRAM();
  const json answer = json::parse(run(with(kColdStoop, {"--json"})).out);
  EXPECT_NEAR(answer["outbound_minutes"].get<double>(), 75, 2);
  EXPECT_NEAR(answer["return_minutes"].get<double>(), 53, 2);
  EXPECT_NEAR(minutes_of(answer["sunset"]), 18 * 60 + 15, 4);
  EXPECT_NEAR(minutes_of(answer["civil_dusk"]), 18 * 60 + 43, 4);
  EXPECT_NEAR(minutes_of(answer["turn_back"]), 16 * 60 + 24, 5);
  EXPECT_THAT(answer["turn_back"].get<std::string>(), testing::EndsWith("-01:00"));
  EXPECT_FALSE(answer["cautions"].empty());
  const json later = json::parse(run(with(kColdStoop, {"--json", "--buffer", "15"})).out);
  EXPECT_EQ(minutes_of(later["turn_back"]), minutes_of(answer["turn_back"]) + 30);
}

TEST(Turnback, TellsThePersonTheSameClockWithItsCautions) {
  NEEDS_THE_PROGRAM();
  const json answer = json::parse(run(with(kColdStoop, {"--json"})).out);
  const Ran ran = run(kColdStoop);
  EXPECT_EQ(ran.status, 0);
  EXPECT_THAT(ran.out, StartsWith("TURN BACK at " + answer["turn_back"].get<std::string>().substr(11, 5)));
  EXPECT_THAT(ran.out, HasSubstr("Cautions"));
}

TEST(Turnback, RefusesALateStartWithTheLatestThatWorks) {
  NEEDS_THE_PROGRAM();
  const json answer = json::parse(run(with(kColdStoop, {"--json"})).out);
  const Ran ran = run(with(kColdStoop, {"--depart", "16:00"}));
  EXPECT_EQ(ran.status, 1);
  EXPECT_THAT(ran.out, IsEmpty());
  EXPECT_THAT(ran.err, HasSubstr("latest start that still works is " +
                                 answer["latest_depart"].get<std::string>().substr(11, 5)));
}

TEST(Completion, IsReadByTheShellAndCompletes) {
  NEEDS_THE_PROGRAM();
  const base::TemporaryFolder folder;
  const auto script = folder.path() / "completion";
  base::write_file_atomic(script, run({"completion", "bash"}).out);
  EXPECT_EQ(shell("bash -n " + quoted(script.string())).status, 0);
  auto completed = [&](const std::string& words, int at) {
    return shell("source " + quoted(script.string()) + "; COMP_WORDS=(" + words +
                 "); COMP_CWORD=" + std::to_string(at) + "; _stumpwise; echo \" ${COMPREPLY[*]} \"")
        .out;
  };
  EXPECT_THAT(completed("stumpwise pro", 1), testing::Eq(" prospect \n"));
  EXPECT_THAT(completed("stumpwise ground ''", 2), testing::AllOf(HasSubstr(" add "), HasSubstr(" show ")));
  EXPECT_THAT(completed("stumpwise ground add tarnwick --hos", 4), testing::Eq(" --hosts \n"));
  EXPECT_THAT(completed("stumpwise --vers", 1), testing::Eq(" --version \n"));
}

TEST(Completion, OfTheOtherShellNamesEveryCommandToo) {
  NEEDS_THE_PROGRAM();
  const std::string script = run({"completion", "zsh"}).out;
  EXPECT_THAT(script, StartsWith("#compdef stumpwise\n"));
  for (const std::string& name : all_commands())
    EXPECT_THAT(script, HasSubstr("(\"stumpwise" + name + "\") compadd"));
  if (shell("command -v zsh").status == 0) {
    const base::TemporaryFolder folder;
    base::write_file_atomic(folder.path() / "_stumpwise", script);
    EXPECT_EQ(shell("zsh -n " + quoted((folder.path() / "_stumpwise").string())).status, 0);
  }
}

}  // namespace
}  // namespace stumpwise::cli_test
