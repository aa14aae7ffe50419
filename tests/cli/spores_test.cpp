// `stumpwise spores`: as a person and as a program would ask it, on a small library of one name and two
// dangers.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>

#include "run.h"
#include "stumpwise/base/text.h"
#include "stumpwise/caution/caution.h"

namespace stumpwise::cli_test {
namespace {

using nlohmann::json;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;
namespace fs = std::filesystem;

/// The tables as shipped; E01 with set spore sizes, X90 with the same and X91 far from them.
class Desk {
 public:
  Desk() {
    const fs::path from = fs::path(STUMPWISE_SOURCE_DIR) / "profiles", to = folder_.path() / "profiles";
    fs::create_directories(to / "taxa");
    for (const char* table : {"characters", "guilds", "regions", "sources", "syndromes"})
      fs::copy_file(from / (std::string(table) + ".toml"), to / (std::string(table) + ".toml"));
    const std::string text = base::read_file(from / "taxa" / "E01-cerioporus-squamosus.toml");
    base::write_file_atomic(to / "taxa/E01-name.toml", with_sizes(text, 8, 8.2, 10.5, 12, 5));
    std::string near = with_sizes(text, 9, 9.3, 13, 14, 5), far = with_sizes(text, 14, 15, 18, 19, 5);
    base::write_file_atomic(to / "taxa/X90-near.toml", danger(near, "X90", "mortiferus"));
    base::write_file_atomic(to / "taxa/X91-far.toml", danger(far, "X91", "longisporus"));
  }

  std::string file(const std::string& text) const {
    base::write_file_atomic(folder_.path() / "s.csv", text);
    return (folder_.path() / "s.csv").string();
  }
  Ran run(std::vector<std::string> words) const {
    words.insert(words.begin(), "spores");
    return cli_test::run(words, "STUMPWISE_DATA=" + quoted(folder_.path().string()));
  }
  json answer(std::vector<std::string> words) const {
    words.push_back("--json");
    const Ran ran = run(words);
    EXPECT_EQ(ran.status, 0) << ran.err;
    return ran.status == 0 ? json::parse(ran.out) : json();
  }

 private:
  static std::string with_sizes(const std::string& text, double min, double low, double high, double max,
                                double width_low) {
    const auto row = [&](const char* id, double a, double b, double c, double d) {
      return fmt::format("\"C32.{}\" = {{ min = {}, usual = [{}, {}], max = {}, unit = \"um\" }}", id, a, b,
                         c, d);
    };
    std::string result =
        std::regex_replace(text, std::regex("\"C32\\.length\" = [^\n]*"), row("length", min, low, high, max));
    result = std::regex_replace(result, std::regex("\"C32\\.width\" = [^\n]*"),
                                row("width", width_low - 1, width_low, width_low + 2, width_low + 3));
    return std::regex_replace(result, std::regex("\"C32\\.q\" = [^\n]*\n"), "");
  }
  static std::string danger(const std::string& text, const std::string& id, const std::string& epithet) {
    std::string result = std::regex_replace(text, std::regex("id = \"E01\""), "id = \"" + id + "\"",
                                            std::regex_constants::format_first_only);
    result = std::regex_replace(result, std::regex("group = \"edible\""), "group = \"dangerous\"",
                                std::regex_constants::format_first_only);
    result = std::regex_replace(result, std::regex("([A-Z][a-z]+) squamosus"), "$1 " + epithet);
    return result + "\n[danger]\nsyndrome = \"AMA\"\nseverity = \"deadly\"\ncooking = \"no help\"\n";
  }

  base::TemporaryFolder folder_;
};

/// The regression of the check values, section 10; `scale` for divisions.
std::string twenty(double scale = 1, int n = 20) {
  const std::vector<double> length{8.1, 8.4, 8.5, 8.7, 8.8, 8.9, 9.0, 9.0,  9.1,  9.2,
                                   9.3, 9.3, 9.4, 9.5, 9.6, 9.7, 9.8, 10.0, 10.3, 11.2},
      width{5.0, 5.2, 5.1, 5.4, 5.3, 5.5, 5.6, 5.4, 5.7, 5.5,
            5.6, 5.8, 5.7, 5.9, 5.8, 6.0, 5.9, 6.1, 6.2, 6.6};
  std::string text = "length,width\n";
  for (int i = 0; i < n; ++i) text += fmt::format("{},{}\n", length[i] * scale, width[i] * scale);
  return text;
}

std::vector<std::string> ids_of(const json& list) {
  std::vector<std::string> ids;
  for (const json& each : list) ids.push_back(each.at("id"));
  return ids;
}

TEST(Spores, TellTheNumbersTheDangersFirstAndTheCautions) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const Ran ran = desk.run({desk.file(twenty()), "--species", "E01"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, StartsWith("20 spores of 1 body, 1 collection\n"));
  EXPECT_THAT(ran.out, HasSubstr("[20/1/1] (8.1–) 8.4–10.3 (–11.2) × (5.0–) 5.1–6.2"));
  EXPECT_THAT(ran.out, HasSubstr("  Length, um    8.10    8.38    9.29    0.71   10.35   11.20\n"));
  EXPECT_THAT(ran.out, HasSubstr("Shape by mean Q: elongate"));
  const auto danger = ran.out.find("X90 Cerioporus mortiferus [AMA]"),
             name = ran.out.find("E01 Cerioporus squamosus");
  ASSERT_NE(danger, std::string::npos);
  ASSERT_NE(name, std::string::npos);
  EXPECT_LT(danger, name);
  EXPECT_THAT(ran.out, AllOf(HasSubstr("A fit is no identification."), HasSubstr("may be none of these")));
  EXPECT_THAT(caution::forbidden_wording(ran.out), IsEmpty());
  for (const std::string& line : base::split(ran.out, '\n'))
    EXPECT_THAT(line, testing::Not(HasSubstr("X91")));
}

TEST(Spores, JsonHoldsTheStatisticsAndTheOverlaps) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const json answer = desk.answer({desk.file(twenty()), "--species", "Polyporus squamosus"});
  EXPECT_EQ(answer["spores"], 20);
  EXPECT_EQ(answer["few"], false);
  EXPECT_DOUBLE_EQ(answer["length"]["p5"], 8.385);
  EXPECT_DOUBLE_EQ(answer["length"]["p95"], 10.345);
  EXPECT_DOUBLE_EQ(answer["length"]["mean"], 9.29);
  EXPECT_NEAR(answer["length"]["sd"].get<double>(), 0.7085, 6e-4);
  EXPECT_NEAR(answer["width"]["sd"].get<double>(), 0.3924, 6e-4);
  EXPECT_DOUBLE_EQ(answer["q"]["mean"], 1.6394);
  EXPECT_EQ(answer["q"]["unit"], "1");
  EXPECT_EQ(answer["shape"]["of_mean"], "elongate");
  EXPECT_TRUE(answer["um_per_div"].is_null());
  EXPECT_THAT(ids_of(answer["dangers"]), ElementsAre("X90"));
  // 9.3 to 10.345 of 8.385 to 10.345.
  EXPECT_NEAR(answer["dangers"][0]["share"].get<double>(), (10.345 - 9.3) / (10.345 - 8.385), 6e-4);
  EXPECT_THAT(ids_of(answer["names"]), ElementsAre("E01"));
  EXPECT_DOUBLE_EQ(answer["names"][0]["share"], 1);
  EXPECT_EQ(answer["species"]["id"], "E01");
  EXPECT_EQ(answer["species"]["measures"].size(), 2u);
  const std::string notes = answer["notes"].dump();
  EXPECT_THAT(notes,
              AllOf(HasSubstr("all spores count as of one body"), HasSubstr("is now Cerioporus squamosus")));
  std::vector<std::string> ids = ids_of(answer["cautions"]);
  EXPECT_EQ(ids.front(), "dangers-first");
  EXPECT_THAT(ids, testing::IsSupersetOf({"fit-is-no-identification", "not-a-clearance", "empty-print"}));
  EXPECT_THAT(caution::forbidden_wording(answer.dump()), IsEmpty());
}

TEST(Spores, ASpeciesThatIsAskedForAndLiesOutsideIsSaidSo) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const json answer = desk.answer({desk.file(twenty()), "--species", "X91"});
  EXPECT_EQ(answer["species"]["verdict"], "outside");
  EXPECT_EQ(answer["species"]["danger"], true);
  EXPECT_THAT(desk.run({desk.file(twenty()), "--species", "X91"}).out,
              AllOf(HasSubstr("DANGER X91 Cerioporus longisporus: outside"),
                    HasSubstr("Sizes alone rule out no danger")));
}

TEST(Spores, ACalibrationInEitherFormGivesTheSameAnswer) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const json plain = desk.answer({desk.file(twenty())});
  const std::string divisions = desk.file(twenty(2));  // half a micrometre each
  json factor = desk.answer({divisions, "--um-per-div", "0.5"}),
       ruler = desk.answer({divisions, "--calibrate", "98=49"});
  EXPECT_EQ(factor, ruler);
  EXPECT_EQ(factor["um_per_div"], 0.5);
  for (const char* measure : {"length", "width", "q", "notation", "dangers"})
    EXPECT_EQ(factor[measure], plain[measure]);
  EXPECT_THAT(desk.run({divisions, "--calibrate", "98=49"}).out,
              HasSubstr("1 division of the eyepiece scale = 0.5000 um"));
}

TEST(Spores, FewAreSaidAndTooFewRefusedWithTheReason) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const Ran few = desk.run({desk.file(twenty(1, 10))});
  EXPECT_EQ(few.status, 0) << few.err;
  EXPECT_THAT(few.out, AllOf(HasSubstr("(FEW)"), HasSubstr("10 spores: 20 are wanted")));
  const Ran none = desk.run({desk.file(twenty(1, 9))});
  EXPECT_EQ(none.status, 1);
  EXPECT_THAT(none.out, IsEmpty());
  EXPECT_THAT(none.err,
              AllOf(HasSubstr("9 spores measured: at least 10 are needed"), HasSubstr("one odd spore")));
}

TEST(Spores, EveryFaultOfAFileIsToldWithItsLine) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const Ran ran = desk.run({desk.file("length,width\n9,5\nnine,5\n-1,5\n900,5\n")});
  EXPECT_EQ(ran.status, 1);
  EXPECT_THAT(ran.out, IsEmpty());
  EXPECT_THAT(ran.err, AllOf(HasSubstr("s.csv:3: length"), HasSubstr("s.csv:4: length"),
                             HasSubstr("s.csv:5: length"), HasSubstr("3 faults")));
}

TEST(Spores, AreHeldAgainstAPrintedDescription) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const std::string file = desk.file(twenty());
  const json answer = desk.answer({file, "--against", "(8,0) 8,385–9,365 (11) × 5–7 µm; N = 30; smooth"});
  EXPECT_EQ(answer["against"]["spores"], 30);
  EXPECT_DOUBLE_EQ(answer["against"]["share"], 0.5);
  EXPECT_THAT(answer["notes"].dump(), HasSubstr("was not understood: smooth"));
  EXPECT_THAT(desk.run({file, "--against", "8-9 x 5-7"}).out,
              HasSubstr("- length: yours 8.4 to 10.3, there usually 8.0 to 9.0"));
}

TEST(Spores, WhatIsAskedWronglyIsBadUsage) {
  NEEDS_THE_PROGRAM();
  const Desk desk;
  const std::string file = desk.file(twenty());
  const std::vector<std::pair<std::vector<std::string>, std::string>> table{
      {{}, "FILE is required"},
      {{file, "--um-per-div", "0"}, "--um-per-div: 0 micrometres per division: 0.01 to 100"},
      {{file, "--um-per-div", "one"}, "--um-per-div \"one\""},
      {{file, "--calibrate", "50"}, "--calibrate \"50\": needs DIV=UM"},
      {{file, "--calibrate", "0=49"}, "--calibrate: 0 divisions = 49 um"},
      {{file, "--calibrate", "50=49", "--um-per-div", "1"}, "say the same thing"},
      {{file, "--against", "nine by five"}, "--against: \"nine by five\": no length x width"}};
  for (const auto& [words, said] : table) {
    const Ran ran = desk.run(words);
    EXPECT_EQ(ran.status, 2) << said;
    EXPECT_THAT(ran.out, IsEmpty());
    EXPECT_THAT(ran.err, HasSubstr(said));
  }
  EXPECT_EQ(desk.run({"/no/such/file.csv"}).status, 1);
}

TEST(Spores, AreCompletedByTheShell) {
  NEEDS_THE_PROGRAM();
  const std::string script = run({"completion", "bash"}).out;
  EXPECT_THAT(script, HasSubstr("\"stumpwise spores\") COMPREPLY"));
  const auto line = script.substr(script.find("\"stumpwise spores\") COMPREPLY"));
  EXPECT_THAT(line.substr(0, line.find('\n')), AllOf(HasSubstr("--calibrate"), HasSubstr("--um-per-div"),
                                                     HasSubstr("--against"), HasSubstr("--json")));
}

}  // namespace
}  // namespace stumpwise::cli_test
