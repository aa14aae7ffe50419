// Every report on the invented valley: its mark, its cautions, no forbidden word, the width of a terminal.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "../../src/cli/page.h"
#include "run.h"
#include "stumpwise/base/text.h"
#include "stumpwise/caution/caution.h"

namespace stumpwise::cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

/// One valley for all tests of this file.
class Demo : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    if (!std::filesystem::exists(program())) return;
    folder_ = new base::TemporaryFolder;
    made_ = run({"demo", (folder_->path() / "valley").string()});
  }
  static void TearDownTestSuite() {
    delete folder_;
    folder_ = nullptr;
  }
  void SetUp() override {
    NEEDS_THE_PROGRAM();
    ASSERT_EQ(made_.status, 0) << made_.err;
  }
  static std::string book() { return (folder_->path() / "valley" / "ennoway.gpkg").string(); }
  static Ran ask(const std::vector<std::string>& words) {
    return run(words, "STUMPWISE_TODAY=2026-05-08 STUMPWISE_BOOK=" + quoted(book()));
  }

  static inline base::TemporaryFolder* folder_ = nullptr;
  static inline Ran made_;
};

/// Without the line breaks of a terminal.
std::string one_line(const std::string& text) {
  std::string result;
  for (char c : text)
    if (const char plain = c == '\n' ? ' ' : c; plain != ' ' || (!result.empty() && result.back() != ' '))
      result += plain;
  return result;
}

const std::vector<std::vector<std::string>> kReports{
    {"today"},
    {"ground", "list"},
    {"ground", "show"},
    {"outlook", "--species", "E01", "--days", "3"},
    {"outlook", "--days", "2", "--units", "us"},
    {"plan", "--start", "42.0,-30.0", "--hours", "3", "--species", "E01", "--days", "2"},
    {"outing", "list"},
    {"outing", "show", "1"},
    {"learn", "--species", "E01"},
};

TEST_F(Demo, EveryReportIsMarkedInItsFirstLine) {
  EXPECT_THAT(made_.out, StartsWith("[INVENTED DEMO"));
  for (const auto& words : kReports) {
    SCOPED_TRACE(base::join(words, " "));
    const Ran ran = ask(words);
    EXPECT_EQ(ran.status, 0) << ran.err;
    EXPECT_THAT(ran.out, StartsWith("[INVENTED DEMO"));
  }
}

TEST_F(Demo, EveryReportFitsATerminalAndHoldsNoForbiddenWording) {
  for (const auto& words : kReports) {
    SCOPED_TRACE(base::join(words, " "));
    const Ran ran = ask(words);
    EXPECT_THAT(caution::forbidden_wording(ran.out), IsEmpty());
    for (const std::string& line : base::split(ran.out, '\n')) EXPECT_LE(cli::width_of(line), 80u) << line;
  }
}

TEST_F(Demo, ThePersonReadsTheNumbersOfTheJson) {
  const std::vector<std::string> words{"plan", "--start", "42.0,-30.0", "--hours", "3", "--species", "E01"};
  auto with_json = words;
  with_json.push_back("--json");
  const json plan = json::parse(ask(with_json).out);
  const std::string text = ask(words).out;
  ASSERT_FALSE(plan["stops"].empty());
  for (const auto& stop : plan["stops"])
    EXPECT_THAT(text, HasSubstr("TURN BACK " + stop["turn_back"].get<std::string>().substr(11, 5)));
  EXPECT_THAT(text,
              HasSubstr("latest that still works " + plan["latest_depart"].get<std::string>().substr(11, 5)));
  ASSERT_FALSE(plan["cautions"].empty());
  for (const auto& caution : plan["cautions"])
    EXPECT_THAT(one_line(text), HasSubstr("- " + one_line(caution["text"].get<std::string>())));
}

TEST_F(Demo, UnitsChangeTheWordsOnly) {
  const Ran metric = ask({"outlook", "--species", "E01", "--days", "2"}),
            us = ask({"outlook", "--species", "E01", "--days", "2", "--units", "us"});
  EXPECT_THAT(metric.out, HasSubstr(" km away"));
  EXPECT_THAT(us.out, HasSubstr(" mi away"));
  EXPECT_EQ(ask({"outlook", "--days", "2", "--json"}).out,
            ask({"outlook", "--days", "2", "--json", "--units", "us"}).out);
}

TEST_F(Demo, FilesOfAPlanAreWrittenAndNamed) {
  const auto gpx = folder_->path() / "walk.gpx", sheet = folder_->path() / "walk.html";
  const Ran ran = ask({"plan", "--start", "42.0,-30.0", "--hours", "3", "--species", "E01", "--gpx",
                       gpx.string(), "--sheet", sheet.string()});
  EXPECT_THAT(ran.out,
              testing::AllOf(HasSubstr("Written: " + gpx.string()), HasSubstr("Written: " + sheet.string())));
  EXPECT_THAT(base::read_file(gpx), HasSubstr("<gpx"));
  EXPECT_THAT(base::read_file(sheet), HasSubstr("<html"));
}

TEST_F(Demo, AFindOfAnOutingTakesItsDayAndKeepsItsName) {
  const json outing = json::parse(
      ask({"outing", "add", "--date", "2026-05-07", "--minutes", "90", "--target", "E01", "--json"}).out);
  const json find = json::parse(ask({"find", "add", "--species", "Polyporus squamosus", "--at", "42.0,-30.0",
                                     "--outing", outing["id"].dump(), "--json"})
                                    .out);
  EXPECT_EQ(find["date"], "2026-05-07");
  EXPECT_EQ(find["species"], "E01");
  EXPECT_EQ(find["name_as_recorded"], "Polyporus squamosus");
  EXPECT_THAT(ask({"find", "list"}).out,
              HasSubstr("E01 Polyporus squamosus, 1 piece, at 42.00000,-30.00000"));
}

TEST_F(Demo, CtrlCEndsTheServerInOrder) {
  const Ran ran = shell("timeout -s INT 2 " + quoted(program().string()) + " serve --port 0 --book " +
                        quoted(book()) + "; echo ended $?");
  // timeout tells 124 for a program that it had to interrupt, whatever that one ended with.
  EXPECT_THAT(ran.out, testing::AllOf(HasSubstr("http://127.0.0.1:"), HasSubstr("ended 124")));
  EXPECT_THAT(ran.err, testing::Not(HasSubstr("stumpwise: ")));
}

TEST_F(Demo, CtrlCInTheMiddleIsToldAndMakesNoBook) {
  const auto other = folder_->path() / "other";
  const Ran ran = shell(quoted(program().string()) + " demo " + quoted(other.string()) +
                        " & sleep 0.5; kill -INT $!; wait $!");
  EXPECT_EQ(ran.status, 1) << ran.err;
  EXPECT_THAT(ran.out, IsEmpty());
  EXPECT_FALSE(std::filesystem::exists(other / "ennoway.gpkg"));
}

TEST_F(Demo, AnOldDemoIsNotOverwritten) {
  const Ran again = run({"demo", (folder_->path() / "valley").string()});
  EXPECT_EQ(again.status, 2);
  EXPECT_THAT(again.err, HasSubstr("stands there already"));
}

}  // namespace
}  // namespace stumpwise::cli_test
