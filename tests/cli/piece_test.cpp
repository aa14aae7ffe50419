// `stumpwise piece` and readings that are kept with one, and the examples of their help and of docs/key.md.
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
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;
namespace fs = std::filesystem;

using Words = std::vector<std::string>;

/// A book of its own.
class Pieces : public testing::Test {
 protected:
  void SetUp() override { NEEDS_THE_PROGRAM(); }
  std::string environment() const { return "STUMPWISE_BOOK=" + quoted((folder_.path() / "b.gpkg").string()); }
  Ran told(const Words& words) const { return run(words, environment()); }
  json answer(Words words) const {
    words.push_back("--json");
    const Ran ran = told(words);
    EXPECT_EQ(ran.status, 0) << base::join(words, " ") << "\n" << ran.err;
    return ran.status == 0 ? json::parse(ran.out) : json();
  }
  void refused(const Words& words, int status, const std::string& said, const std::string& mend = {}) const {
    SCOPED_TRACE(base::join(words, " "));
    const Ran ran = told(words);
    EXPECT_EQ(ran.status, status);
    EXPECT_THAT(ran.out, IsEmpty());
    EXPECT_THAT(ran.err, AllOf(StartsWith("stumpwise: "), HasSubstr(said), HasSubstr(mend)));
  }
  /// Everything of a piece that readings and words can change.
  json state(int id) const {
    json all = answer({"piece", "show", std::to_string(id)});
    return {all.at("history"), all.at("confirmations"), all.at("waits"), all.at("piece")};
  }
  base::TemporaryFolder folder_;
};

/// Commands in lines of `text` that begin with `indent` and "stumpwise ", comments behind two blanks dropped.
Words commands_in(std::string text, const std::string& indent) {
  Words list;
  for (auto at = text.find("\\\n"); at != std::string::npos; at = text.find("\\\n"))
    text.replace(at, text.find_first_not_of(' ', at + 2) - at, "");
  for (const std::string& line : base::split(text, '\n')) {
    if (line.rfind(indent + "stumpwise ", 0) != 0) continue;
    std::string words = line.substr(indent.size() + 10);
    if (const auto comment = words.find("   "); comment != std::string::npos) words.erase(comment);
    list.push_back(words);
  }
  return list;
}

TEST_F(Pieces, OfOneFindOrManyAreAddedWithTheirFinder) {
  const Ran ran = told({"piece", "add", "--finder", " Ann ", "--region", "EU", "--name", "winter chanterelle",
                        "--pieces", "3", "--note", "one basket"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, AllOf(StartsWith("Pieces 1 to 3 of "), HasSubstr("found by Ann\n"),
                             HasSubstr("stumpwise key --piece 1 --seen")));
  const json one = answer({"piece", "show", "2"}).at("piece");
  EXPECT_EQ(one.at("named").at("id"), "E14");
  EXPECT_EQ(one.at("name_as_recorded"), "winter chanterelle");
  EXPECT_EQ(one.at("note"), "one basket");
  EXPECT_EQ(answer({"piece", "add", "--finder", "Bea", "--at", "51,9", "--date", "2026-10-01"}).at("ids"),
            json({4}));
  const json list = answer({"piece", "list"});
  EXPECT_EQ(list.at("of"), 4);
  EXPECT_EQ(list.at("confirmed"), 0);
  EXPECT_THAT(told({"piece", "list"}).out, HasSubstr("0 of 4 pieces confirmed\n"));
}

TEST_F(Pieces, WithoutARegionAreToldThatTheGateStaysShut) {
  const json added = answer({"piece", "add", "--finder", "Ann"});
  EXPECT_THAT(added.at("said").dump(), HasSubstr("the region is not known"));
  EXPECT_THAT(answer({"piece", "show", "1"}).at("shut_by").dump(), HasSubstr("region"));
  EXPECT_EQ(answer({"piece", "add", "--finder", "Ann", "--region", "EU"}).at("said"), json::array());
}

TEST_F(Pieces, WordsThatAreOffMakeNoBook) {
  refused({"piece", "add"}, 2, "--finder");
  refused({"piece", "add", "--finder", "  "}, 2, "who found it is missing", "cannot confirm");
  refused({"piece", "add", "--finder", "\xE2\x80\x8B"}, 2, "who found it is missing");
  refused({"piece", "add", "--finder", "Ann", "--pieces", "0"}, 2, "--pieces 0", "1 to 1000");
  refused({"piece", "add", "--finder", "Ann", "--pieces", "1001"}, 2, "--pieces 1001", "1 to 1000");
  refused({"piece", "add", "--finder", "Ann", "--region", "Atlantis"}, 2, "Atlantis", "NA-E");
  refused({"piece", "add", "--finder", "Ann", "--name", "nothing at all"}, 1, "nothing at all");
  refused({"piece", "add", "--finder", "Ann", "--find", "7"}, 1, "no find 7");
  refused({"piece", "add", "--finder", "Ann", "--at", "91,0"}, 2, "91");
  refused({"piece", "add", "--finder", "Ann", "--date", "soon"}, 2, "soon");
  EXPECT_TRUE(fs::is_empty(folder_.path()));
  refused({"piece", "list"}, 1, "b.gpkg");
  answer({"piece", "add", "--finder", "Ann", "--region", "EU"});
  refused({"piece", "show", "2"}, 1, "no piece 2", "piece list");
  refused({"piece", "show"}, 2, "N is required");
  refused({"key", "--piece", "-1"}, 1, "no piece -1");
  refused({"piece", "confirm", "2", "--by", "Bea"}, 1, "no piece 2");
  refused({"piece", "confirm", "1"}, 2, "--by");
  refused({"piece", "confirm", "1", "--by", " "}, 2, "who confirms is missing");
  refused({"piece", "confirm", "1", "--by", "Bea", "--from", "hearsay"}, 2, "hearsay",
          "hand, photo or report");
  refused({"piece", "confirm", "1", "--by", "Bea"}, 1, "has no name yet");
}

TEST_F(Pieces, KeepReadingsWithWhoAndWhenAndTheirHistory) {
  answer({"piece", "add", "--finder", "Ann", "--region", "EU", "--name", "E14"});
  answer({"key", "--piece", "1", "--seen", "C31=cream", "C11=2 in", "C20=one-hollow@cut"});
  answer({"key", "--piece", "1", "--seen", "C31=white", "--by", "Bea"});
  answer({"key", "--piece", "1", "--take-back", "c20"});
  const json piece = answer({"piece", "show", "1"});
  ASSERT_EQ(piece.at("history").size(), 4u);
  EXPECT_EQ(piece.at("history")[0].at("text"), "C31=cream");
  EXPECT_EQ(piece.at("history")[0].at("by"), "Ann");
  EXPECT_EQ(piece.at("history")[3].at("by"), "Bea");
  EXPECT_THAT(piece.at("history")[3].at("at").get<std::string>(), testing::EndsWith("Z"));
  EXPECT_EQ(piece.at("history")[1].at("withdrawn_at"), nullptr);
  EXPECT_NE(piece.at("history")[2].at("withdrawn_at"), nullptr);
  // What counts: the last of each that was not taken back.
  std::vector<std::string> current;
  for (const json& each : piece.at("readings")) current.push_back(each.at("text"));
  EXPECT_THAT(current, ElementsAre("C11=50.8", "C31=white"));
  EXPECT_THAT(told({"piece", "show", "1"}).out,
              AllOf(HasSubstr("C11 cap diameter: 50.8 mm; Ann, "), HasSubstr("; taken back")));
  EXPECT_THAT(told({"piece", "show", "1", "--units", "us"}).out, HasSubstr("C11 cap diameter: 2.00 in"));
  // A second look at what was taken back counts again.
  EXPECT_EQ(answer({"key", "--piece", "1", "--seen", "C20=one-hollow@cut"}).at("readings").size(), 3u);
}

TEST_F(Pieces, ACallThatIsOffInOnePartChangesNothing) {
  answer({"piece", "add", "--finder", "Ann", "--region", "EU", "--name", "E14"});
  answer({"key", "--piece", "1", "--seen", "C31=white", "C20=one-hollow@cut"});
  const json before = state(1);
  refused({"key", "--piece", "1", "--seen", "C01=pores", "C31=whit"}, 2, "perhaps white");
  refused({"key", "--piece", "1", "--take-back", "C31", "--take-back", "C40"}, 1, "no reading of C40");
  refused({"key", "--piece", "1", "--take-back", "C31", "--begin", "C11"}, 2, "read at once", "C31");
  refused({"key", "--piece", "1", "--take-back", "C99"}, 2, "\"C99\" is no character");
  refused({"key", "--piece", "1", "--begin", "C32"}, 2, "read in parts", "C32.length");
  refused({"key", "--piece", "1", "--seen", "C01=pores", "--region", "Atlantis"}, 2, "Atlantis");
  refused({"key", "--piece", "1", "--seen", "C01=pores", "--ground", "none"}, 1, "ground");
  refused({"key", "--piece", "1", "--seen", "C01=pores", "--name", "nothing at all"}, 1, "nothing at all");
  EXPECT_EQ(state(1), before);
}

TEST_F(Pieces, WaitsAreOpenItemsUntilTheyAreRead) {
  answer({"piece", "add", "--finder", "Ann", "--region", "EU", "--pieces", "2"});
  answer({"key", "--piece", "1", "--begin", "C31"});
  EXPECT_THAT(told({"today"}).out,
              AllOf(HasSubstr("piece 1: spore-print colour due "), Not(HasSubstr("piece 2"))));
  // Begun twice is begun once.
  EXPECT_THAT(answer({"key", "--piece", "1", "--begin", "C31"}).at("said").dump(), HasSubstr("already"));
  ASSERT_EQ(state(1)[2].size(), 1u);
  EXPECT_GT(state(1)[2][0].at("due"), state(1)[2][0].at("started"));
  answer({"key", "--piece", "2", "--begin", "C33", "C31"});
  EXPECT_EQ(answer({"today"}).at("items").size(), 4u) << "the ground that is missing and three waits";
  // Two readings of what is waited for in one call.
  answer({"key", "--piece", "1", "--seen", "C31=white", "C31=cream"});
  EXPECT_NE(state(1)[2][0].at("done_at"), nullptr);
  EXPECT_THAT(told({"today"}).out,
              AllOf(Not(HasSubstr("piece 1")), HasSubstr("piece 2: spore-print colour")));
}

TEST_F(Pieces, TextsOfPeopleCannotSteerATerminal) {
  const std::string name = "Ann\x1b[31m\x07\xff";
  answer({"piece", "add", "--finder", name, "--region", "EU", "--name", "E14", "--note", name});
  answer({"key", "--piece", "1", "--seen", "C01=pores", "--by", name});
  answer({"piece", "confirm", "1", "--by", "Bea\x1b[2J", "--from", "photo"});
  for (const Words& words : std::vector<Words>{{"piece", "list"}, {"piece", "show", "1"}, {"today"}}) {
    const Ran ran = told(words);
    EXPECT_EQ(ran.status, 0) << ran.err;
    EXPECT_THAT(ran.out, Not(AnyOf(HasSubstr("\x1b"), HasSubstr("\x07")))) << words.front();
    EXPECT_THAT(caution::forbidden_wording(ran.out), IsEmpty());
  }
}

TEST_F(Pieces, ExamplesOfTheHelpWork) {
  answer({"piece", "add", "--finder", "Ann", "--region", "EU", "--name", "E14", "--pieces", "3"});
  std::size_t run_examples = 0;
  for (const std::string command :
       {"key", "piece", "piece add", "piece list", "piece show", "piece confirm"}) {
    const Ran help = shell(quoted(program().string()) + " " + command + " --help");
    ASSERT_EQ(help.status, 0);
    for (const std::string& words : commands_in(help.out, "  ")) {
      const Ran ran = shell(quoted(program().string()) + " " + words, environment());
      ++run_examples;
      if (words.find("--find 12") != std::string::npos)
        EXPECT_THAT(ran.err, HasSubstr("no find 12"));
      else if (words.find("confirm") != std::string::npos)
        EXPECT_THAT(ran.err, HasSubstr("nothing to confirm"));
      else
        EXPECT_EQ(ran.status, 0) << words << "\n" << ran.err;
    }
  }
  EXPECT_GE(run_examples, 10u);
}

TEST_F(Pieces, TheCommandsOfTheDocumentWorkInTheirOrder) {
  const std::string page = base::read_file(fs::path(STUMPWISE_SOURCE_DIR) / "docs/key.md");
  const auto from = page.find("## Using the key\n"), to = page.find("\n## ", from + 1);
  ASSERT_NE(from, std::string::npos);
  const Words commands = commands_in(page.substr(from, to - from), "    ");
  ASSERT_GE(commands.size(), 15u);
  Ran last;
  for (const std::string& words : commands) {
    last = shell(quoted(program().string()) + " " + words, environment());
    EXPECT_EQ(last.status, 0) << words << "\n" << last.err;
  }
  EXPECT_THAT(last.out, HasSubstr("1 of 2 pieces confirmed\n"));
}

}  // namespace
}  // namespace stumpwise::cli_test
