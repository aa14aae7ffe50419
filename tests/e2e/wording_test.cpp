// Everything that the program prints, and every text that it ships, against the wording that may never stand
// (the-job.md I), and the cautions that must.
#include <set>

#include "run.h"
#include "stumpwise/caution/caution.h"

namespace stumpwise::e2e {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::IsSupersetOf;

const fs::path kSource = STUMPWISE_SOURCE_DIR;
const std::string kValleyStart = "41.99531,-29.96894";

void expect_clean(const std::string& what, const std::string& text) {
  EXPECT_THAT(caution::forbidden_wording(text), IsEmpty()) << what;
}

/// Names of the commands that a help page lists.
std::vector<std::string> commands_in(const std::string& help) {
  std::vector<std::string> names;
  const auto from = help.find("Subcommands:\n");
  if (from == std::string::npos) return names;
  std::size_t at = help.find('\n', from) + 1;
  while (at < help.size() && help[at] == ' ') {
    const std::string line = help.substr(at, help.find('\n', at) - at);
    if (line.size() > 2 && line[2] != ' ') names.push_back(line.substr(2, line.find(' ', 2) - 2));
    at += line.size() + 1;
  }
  return names;
}

/// Every page of help, from the top down.
std::vector<std::vector<std::string>> all_commands(const Desk& desk) {
  std::vector<std::vector<std::string>> todo{{}}, done;
  while (!todo.empty()) {
    const std::vector<std::string> words = todo.back();
    todo.pop_back();
    std::vector<std::string> help_words = words;
    help_words.push_back("--help");
    const Answer help = desk.run(help_words);
    EXPECT_EQ(help.status, 0);
    for (const std::string& name : commands_in(help.out)) {
      todo.push_back(words);
      todo.back().push_back(name);
    }
    done.push_back(words);
  }
  return done;
}

std::set<std::string> ids_of(caution::Place place) {
  std::set<std::string> ids;
  for (const auto& each : caution::cautions_for(place)) ids.insert(each.id);
  return ids;
}

/// The demo book once for all tests here, with one model learned.
class Wording : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    desk_ = new Desk("2026-05-11");
    demo_ = desk_->run({"demo", "valley"});
    desk_->set("STUMPWISE_BOOK", desk_->path("valley/ennoway.gpkg"));
    learned_ = desk_->run({"learn", "--species", "E01", "--json"});
  }
  static void TearDownTestSuite() {
    delete desk_;
    desk_ = nullptr;
  }
  void SetUp() override {
    ASSERT_EQ(demo_.status, 0) << demo_.err;
    ASSERT_EQ(learned_.status, 0) << learned_.err;
  }
  static const Desk& desk() { return *desk_; }
  inline static Desk* desk_ = nullptr;
  inline static Answer demo_, learned_;
};

TEST_F(Wording, EveryHelpPageIsCleanAndHasAnExample) {
  const auto commands = all_commands(desk());
  EXPECT_GT(commands.size(), 20u);
  for (std::vector<std::string> words : commands) {
    words.push_back("--help");
    const std::string help = desk().run(words).out, name = words.front();
    expect_clean("help of " + name, help);
    EXPECT_THAT(help, HasSubstr("Example:")) << name;
    EXPECT_THAT(help, HasSubstr("stumpwise ")) << name;
  }
}

struct Case {
  std::vector<std::string> words;
  caution::Place place;
  std::vector<std::string> more;  ///< cautions that the demo's circumstances add
};

TEST_F(Wording, AnswersAreCleanAndTheirCautionsStandForPeopleAndPrograms) {
  const std::vector<std::string> demo_caution{"invented-data"};
  std::string spores = "length,width,specimen\n";
  for (int i = 0; i < 12; ++i) spores += "9." + std::to_string(i % 10) + ",5.5," + (i < 6 ? "a\n" : "b\n");
  base::write_file_atomic(desk().path("spores.csv"), spores);
  const std::vector<Case> cases{
      {{"outlook", "--days", "3"}, caution::Place::outlook, demo_caution},
      {{"outlook", "--days", "2", "--species", "E02", "X04", "--units", "us"},
       caution::Place::outlook,
       {"invented-data", "forecast-fades"}},
      {{"prospect", "--species", "E01", "--out", desk().path("p.tif")},
       caution::Place::prospect,
       demo_caution},
      {{"prospect", "--species", "X04", "--out", desk().path("p.tif")},
       caution::Place::prospect,
       {"invented-data", "no-local-records"}},
      {{"plan", "--start", kValleyStart, "--hours", "4", "--days", "3", "--species", "E01"},
       caution::Place::plan,
       demo_caution},
      {{"plan", "--start", kValleyStart, "--hours", "4", "--species", "O22", "--alternatives", "1", "--units",
        "us"},
       caution::Place::plan,
       {"invented-data", "no-local-records"}},
      {{"turnback", "--at", "42.0,-30.0", "--tz", "America/Nuuk", "--date", "2026-10-18", "--km", "3",
        "--climb", "200", "--off-trail"},
       caution::Place::turnback,
       {}},
      {{"species", "list"}, caution::Place::species, {}},
      {{"spores", desk().path("spores.csv"), "--species", "X04", "--against", "8-10 x 5-6 um; N = 30"},
       caution::Place::candidates,
       {"fit-is-no-identification"}},
      {{"learn", "--species", "E01"}, caution::Place::learn, demo_caution},
      {{"ground", "show"}, caution::Place::access, {}},
      {{"outing", "list"}, caution::Place::records, {}},
      {{"outing", "show", "1"}, caution::Place::records, {}},
      {{"find", "list"}, caution::Place::records, {}},
  };
  for (const Case& each : cases) {
    const std::string name = each.words.front() + " " + each.words.at(1);
    const Answer told = desk().run(each.words);
    ASSERT_EQ(told.status, 0) << name << ": " << told.err;
    expect_clean(name, told.out + told.err);
    const Json answer = desk().json(each.words);
    expect_clean(name + " --json", answer.dump());
    const auto ids = caution_ids(answer);
    EXPECT_THAT(ids, IsSupersetOf(ids_of(each.place))) << name;
    EXPECT_THAT(ids, IsSupersetOf(each.more)) << name;
    EXPECT_EQ(std::set<std::string>(ids.begin(), ids.end()).size(), ids.size())
        << name << ": a caution twice";
    const std::string flat = unwrapped(told.out);
    for (const Json& caution : answer.at("cautions")) {
      EXPECT_EQ(caution.at("text"), caution::by_id(caution.at("id").get<std::string>()).text);
      EXPECT_THAT(flat, HasSubstr(unwrapped(caution.at("text").get<std::string>())))
          << name << ": " << caution.at("id");
    }
    if (answer.value("invented", false)) {
      EXPECT_THAT(told.out, HasSubstr("INVENTED DEMO")) << name;
    }
  }
}

TEST_F(Wording, EverySpeciesPageIsCleanAndBearsItsCautions) {
  const Json list = desk().json({"species", "list"});
  ASSERT_GE(list.at("species").size(), 12u);
  const auto wanted = ids_of(caution::Place::species);
  for (const Json& each : list.at("species")) {
    const std::string id = each.at("id").get<std::string>();
    const Answer told = desk().run({"species", "show", id});
    ASSERT_EQ(told.status, 0) << told.err;
    expect_clean("species show " + id, told.out);
    const Json answer = desk().json({"species", "show", id});
    expect_clean("species show --json " + id, answer.dump());
    EXPECT_THAT(caution_ids(answer), IsSupersetOf(wanted)) << id;
    // A pair with a taxon that has no profile yet is pending and counts as blocked.
    for (const Json& pair : answer.at("pairs")) {
      EXPECT_TRUE(!pair.value("pending", false) || pair.at("blocked").get<bool>())
          << id << " with " << pair.at("with");
    }
  }
}

TEST_F(Wording, TheRestThatIsPrintedAndWrittenIsClean) {
  expect_clean("demo", demo_.out + demo_.err);
  EXPECT_THAT(unwrapped(demo_.out), HasSubstr(unwrapped(caution::by_id("invented-data").text)));
  const std::vector<std::vector<std::string>> commands{
      {"today"},
      {"check"},
      {"ground", "list"},
      {"species", "check"},
      {"weather", "note", "--date", "2026-05-11", "--rain", "3", "--soil", "11"},
      {"weather", "forecast", "--days", "6/17/0 8/19/4.5"},
      {"completion", "bash"},
      {"completion", "zsh"},
      {"--version"}};
  for (const auto& words : commands) {
    const Answer told = desk().run(words);
    EXPECT_EQ(told.status, 0) << words.front() << told.err;
    expect_clean(words.front(), told.out + told.err);
  }
  // Errors are printed too.
  for (const auto& words : std::vector<std::vector<std::string>>{{"plan"},
                                                                 {"plan", "--start", "1,1", "--hours", "3"},
                                                                 {"outlook", "--species", "nothing"},
                                                                 {"today", "--book", "none.gpkg"},
                                                                 {"ground", "show", "none"}}) {
    const Answer told = desk().run(words);
    EXPECT_NE(told.status, 0);
    expect_clean("error of " + words.front(), told.out + told.err);
  }
  const Answer plan = desk().run({"plan", "--start", kValleyStart, "--hours", "4", "--species", "E01", "O22",
                                  "X04", "--gpx", desk().path("w.gpx"), "--sheet", desk().path("w.html")});
  ASSERT_EQ(plan.status, 0) << plan.err;
  for (const std::string file : {"w.gpx", "w.html"}) {
    const std::string text = base::read_file(desk().path(file));
    expect_clean(file, text);
    EXPECT_THAT(text, testing::AnyOf(HasSubstr("nvented"), HasSubstr("INVENTED")))
        << file << " is of the demo and must say so";
  }
  EXPECT_THAT(unwrapped(base::read_file(desk().path("w.html"))), HasSubstr("not a safety device"));
}

TEST(WordingOfTheSources, ProfilesLegendsDocumentsAndPagesAreClean) {
  std::size_t files = 0, profiles = 0;
  const std::set<std::string> kinds{".toml", ".md", ".svelte", ".ts", ".html", ".css", ".yaml", ".txt"};
  const auto sweep = [&](const fs::path& path) {
    if (!kinds.count(path.extension().string())) return;
    ++files;
    profiles += path.string().find("/profiles/taxa/") != std::string::npos;
    // Style rules of a page are not shown: their percentages are lengths.
    std::string text = base::read_file(path);
    for (auto at = text.find("<style"); at != std::string::npos; at = text.find("<style"))
      text.erase(at, text.find("</style>", at) - at + 8);
    expect_clean(fs::relative(path, kSource).string(), text);
  };
  for (const std::string folder : {"profiles", "legends", "docs", "web/src", "api", "demo"}) {
    ASSERT_TRUE(fs::exists(kSource / folder)) << folder;
    for (const auto& entry : fs::recursive_directory_iterator(kSource / folder))
      if (entry.is_regular_file()) sweep(entry.path());
  }
  for (const std::string file :
       {"README.md", "ARCHITECTURE.md", "CONTRIBUTING.md", "CHANGELOG.md", "web/index.html"})
    sweep(kSource / file);
  EXPECT_GE(profiles, 12u);
  EXPECT_GT(files, 30u);
}

TEST(WordingOfTheSources, TheSweepItselfFindsWhatItLooksFor) {
  // Each must be found, or the tests above prove nothing.
  for (const std::string text :
       {"This one is safe to eat.", "edible: yes", "A 100 % sure sign", "a foolproof method",
        "no look-alikes", "92 % probability that it is edible"})
    EXPECT_THAT(caution::forbidden_wording(text), testing::Not(IsEmpty())) << text;
}

}  // namespace
}  // namespace stumpwise::e2e
