// The deadly pair stays shut (the-job.md H4) and a basket is not one identity (H5, up to the piece), from the
// outside; and a book that is killed while readings are written.
#include <regex>

#include "run.h"
#include "stumpwise/caution/caution.h"

namespace stumpwise::e2e {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

using Words = std::vector<std::string>;

Words with(Words words, const Words& more) {
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

/// Every character of a funnel chanterelle that one can read at home, as a careful person would.
const Words kWholeE14{"C01=false-ridges",
                      "C05=decurrent",
                      "C06=distant",
                      "C07=forked",
                      "C08=yellow",
                      "C10=none@300",
                      "C11=30 mm",
                      "C12=funnel",
                      "C13=smooth",
                      "C14=inrolled",
                      "C19=smooth",
                      "C20=one-hollow@cut",
                      "C21=fibrous",
                      "C22=none",
                      "C23=none@dug",
                      "C24=none",
                      "C25=none@cut@300",
                      "C26=grey@cut",
                      "C26.change=none@cut@300",
                      "C27=none@cut",
                      "C28=soft",
                      "C31=white",
                      "C32.length=9.5 um@micro",
                      "C32.width=6.5 um@micro",
                      "C33=smooth@micro",
                      "C34=none@micro",
                      "C35.clamps=present@micro",
                      "C35.cystidia=absent@micro",
                      "C38=soil@dug",
                      "C42=troop",
                      "C44=prime"};

Words ids_of(const Json& list, const char* key = "id") {
  Words ids;
  for (const Json& each : list) ids.push_back(each.at(key).get<std::string>());
  return ids;
}

const Json* danger(const Json& answer, const std::string& id) {
  for (const Json& each : answer.at("undefeated"))
    if (each.at("id") == id) return &each;
  return nullptr;
}

std::size_t place_of(const Words& list, const std::string& id) {
  return static_cast<std::size_t>(std::find(list.begin(), list.end(), id) - list.begin());
}

// Brown tufted gilled fungus on a beech stump, two-tone cap, ring; the user picks O20. No print, no
// microscope.
const Words kAskO20{"key", "--region", "EU+NA-E", "--name", "O20", "--date", "2026-10-10", "--seen"};
const Words kGlance{"C01=blade-gills", "C15=brown", "C15.hygrophanous=yes", "C22=membranous", "C38=dead-wood",
                    "C39=fagus",       "C41=base",  "C42=tuft-fused"};

TEST(TheDeadlyPair, StaysShutOnWhatAGlanceShows) {
  const Desk desk("2026-10-10");
  for (const Words& readings : {kGlance, Words{"C01=blade-gills", "C42=tuft-fused"},
                                with(kGlance, {"C08=brown", "C12=convex", "C13=smooth"})}) {
    const Json key = desk.json(with(kAskO20, readings));
    EXPECT_EQ(key.at("standing"), "unresolved");
    ASSERT_NE(danger(key, "X04"), nullptr);
    EXPECT_EQ(danger(key, "X04")->at("contradicted_by"), Json::array());
    EXPECT_EQ(key.at("undefeated")[0].at("id"), "X04") << "listed and deadly: first of all";
  }
  const Answer told = desk.run(with(kAskO20, kGlance));
  ASSERT_EQ(told.status, 0) << told.err;
  EXPECT_THAT(told.out,
              AllOf(testing::StartsWith("Standing: unresolved"), HasSubstr("X04 Galerina marginata")));
}

TEST(TheDeadlyPair, LeadsToNothingAboutEating) {
  const Desk desk("2026-10-10");
  const std::string page = desk.run(with(kAskO20, kGlance)).out;
  Json answer = desk.json(with(kAskO20, kGlance));
  EXPECT_THAT(caution::forbidden_wording(page), IsEmpty());
  EXPECT_THAT(caution::forbidden_wording(answer.dump()), IsEmpty());
  // The cautions name it (animals eat it), the answer offers nothing of it.
  answer.erase("cautions");
  for (Json& each : answer["undefeated"]) each.erase("severity");
  const auto cautions = page.find("\nCautions\n");
  ASSERT_NE(cautions, std::string::npos);
  for (const std::string& text : {page.substr(0, cautions), answer.dump()})
    for (const std::string word : {"kitchen", "recipe", "edible", "eat", "cook", "portion", "taste"})
      EXPECT_FALSE(std::regex_search(text, std::regex("\\b" + word))) << word;
}

TEST(TheDeadlyPair, NextStepsAreStipeScalesPrintSpores) {
  const Desk desk("2026-10-10");
  for (const Words& more : std::vector<Words>{{}, {"--next"}}) {
    const Words next = ids_of(desk.json(with(with(kAskO20, kGlance), more)).at("next"), "character");
    for (const std::string id : {"C19", "C31", "C33", "C33.pore"}) EXPECT_THAT(next, Contains(id));
    EXPECT_EQ(place_of(next, "C19"), 0u);
    EXPECT_LT(place_of(next, "C19"), place_of(next, "C31"));
    EXPECT_LT(place_of(next, "C31"), place_of(next, "C33"));
    EXPECT_LT(place_of(next, "C31"), place_of(next, "C33.pore"));
  }
  const std::string why = desk.json(with(kAskO20, kGlance)).at("next")[0].at("why");
  EXPECT_THAT(why, AllOf(HasSubstr("half a minute"), HasSubstr("dangers"), HasSubstr("must be seen")));
}

TEST(TheDeadlyPair, ABrownPrintOpensNothing) {
  const Desk desk("2026-10-10");
  for (const std::string print : {"C31=tobacco-brown", "C31=rust"}) {
    const Json key = desk.json(with(with(kAskO20, kGlance), {print}));
    EXPECT_EQ(key.at("standing"), "unresolved") << print;
    ASSERT_NE(danger(key, "X04"), nullptr) << print << ": the deadly double has it too";
    EXPECT_THAT(danger(key, "X04")->at("contradicted_by"), Not(Contains(Json("C31"))));
  }
}

TEST(TheDeadlyPair, ScalesAndSporesContradictTheDoubleAndTheOthersKeepItShut) {
  const Desk desk("2026-10-10");
  const Words full = with(kGlance, {"C31=tobacco-brown", "C19=scales-below-ring", "C33=smooth@micro",
                                    "C33.pore=germ-pore@micro", "C26=white@cut"});
  const Json key = desk.json(with(kAskO20, full));
  EXPECT_EQ(danger(key, "X04"), nullptr);
  EXPECT_THAT(ids_of(key.at("defeated")), Contains("X04"));
  // G8: these two pairs are blocked, so no reading opens the name.
  EXPECT_NE(key.at("standing"), "doubles contradicted");
  for (const std::string id : {"X05", "X55"}) {
    ASSERT_NE(danger(key, id), nullptr) << id;
    EXPECT_TRUE(danger(key, id)->at("blocked").get<bool>());
    EXPECT_EQ(danger(key, id)->at("missing"), Json::array()) << "nothing can settle it";
    EXPECT_THAT(danger(key, id)->at("reasons").dump(), HasSubstr("stays shut (G8)"));
  }
  // One of the named characters unsure: the deadly one is back.
  const Json unsure = desk.json(with(with(kAskO20, full), {"C33=smooth|warted@micro"}));
  ASSERT_NE(danger(unsure, "X04"), nullptr);
  EXPECT_EQ(danger(unsure, "X04")->at("against"), Json({"C33"}));
  // A shut gate cannot be confirmed.
  desk.json({"piece", "add", "--finder", "Ann", "--region", "EU+NA-E", "--name", "O20"});
  desk.json(with({"key", "--piece", "1", "--seen"}, full));
  const Answer word = desk.run({"piece", "confirm", "1", "--by", "Tomas"});
  EXPECT_EQ(word.status, 1);
  EXPECT_THAT(word.err,
              AllOf(HasSubstr("nothing to confirm"), HasSubstr("X05"), HasSubstr("Nothing lifts the gate")));
}

/// 23 pieces of E14 found by Ann Lee; all but the last read in full and confirmed by Tomas.
class Basket : public testing::Test {
 protected:
  static constexpr int kPieces = 23;
  static void SetUpTestSuite() {
    desk_ = new Desk("2026-10-18");
    desk_->json({"piece", "add", "--finder", "Ann Lee", "--region", "EU", "--name", "E14", "--pieces", "23"});
    for (int i = 1; i < kPieces; ++i) {
      desk_->json(with({"key", "--piece", std::to_string(i), "--seen"}, kWholeE14));
      desk_->json({"piece", "confirm", std::to_string(i), "--by", "Tomas"});
    }
  }
  static void TearDownTestSuite() {
    delete desk_;
    desk_ = nullptr;
  }
  static Desk& desk() { return *desk_; }
  static Json show(int id) { return desk().json({"piece", "show", std::to_string(id)}); }
  static std::string refused(const Words& words) {
    const Answer answer = desk().run(words);
    EXPECT_EQ(answer.status, 1) << answer.out;
    EXPECT_EQ(answer.out, "");
    return answer.err;
  }
  inline static Desk* desk_ = nullptr;
};

TEST_F(Basket, IsConfirmedPieceByPiece) {
  const Json list = desk().json({"piece", "list"});
  EXPECT_EQ(list.at("confirmed"), 22);
  EXPECT_EQ(list.at("of"), 23);
  EXPECT_EQ(list.at("pieces")[22].at("standing"), "unresolved");
  EXPECT_THAT(caution_ids(list), Contains("per-piece"));
  const Answer told = desk().run({"piece", "list"});
  EXPECT_THAT(told.out, testing::StartsWith("22 of 23 pieces confirmed\n"));
  EXPECT_THAT(caution::forbidden_wording(told.out), IsEmpty());
  const Json one = show(1);
  EXPECT_EQ(one.at("standing"), "confirmed");
  EXPECT_EQ(one.at("confirmed_by"), "Tomas");
  EXPECT_THAT(one.at("confirmed_at").get<std::string>(), testing::EndsWith("Z"));
  const std::string page = desk().run({"piece", "show", "1"}).out;
  EXPECT_THAT(page,
              AllOf(HasSubstr("Standing: confirmed"), HasSubstr("by Tomas on 20"), HasSubstr("others may")));
  EXPECT_THAT(caution::forbidden_wording(page), IsEmpty());
}

TEST_F(Basket, TheFinderCannotConfirmHoweverTheNameIsWritten) {
  for (const std::string name :
       {"Ann Lee", "ann lee", "  ANN   LEE ", "Ann\tLee", "Ann\xC2\xA0Lee", "Ann\xE2\x80\x8B Lee"})
    for (const std::string how : {"hand", "photo"})
      EXPECT_THAT(
          refused({"piece", "confirm", "1", "--by", name, "--from", how}),
          AllOf(HasSubstr("found piece 1 and cannot confirm it"), HasSubstr("Another competent person")));
  EXPECT_EQ(show(1).at("confirmations").size(), 1u);
}

TEST_F(Basket, TheTwentyThirdIsAWebcap) {
  const Words readings{"C01=blade-gills", "C20=solid@cut", "C31=rust"};
  const Json key = desk().json(with({"key", "--piece", "23", "--seen"}, readings));
  EXPECT_EQ(key.at("standing"), "unresolved");
  ASSERT_FALSE(key.at("undefeated").empty());
  EXPECT_EQ(key.at("undefeated")[0].at("id"), "X09");
  EXPECT_THAT(key.at("undefeated")[0].at("reasons").dump(), HasSubstr("speaks for it (G5)"));
  EXPECT_THAT(refused({"piece", "confirm", "23", "--by", "Tomas"}),
              AllOf(HasSubstr("piece 23 is unresolved"), HasSubstr("X09 Cortinarius rubellus"),
                    HasSubstr("not as the name has them: C01"), HasSubstr("piece show 23")));
  // From a photo it is kept, and opens nothing.
  const Json word = desk().json({"piece", "confirm", "23", "--by", "Tomas", "--from", "photo"});
  EXPECT_EQ(word.at("standing"), "unresolved");
  ASSERT_EQ(word.at("confirmations").size(), 1u);
  EXPECT_FALSE(word.at("confirmations")[0].at("counts").get<bool>());
  EXPECT_THAT(word.at("said").dump(), HasSubstr("opens nothing"));
  EXPECT_EQ(desk().json({"piece", "list"}).at("confirmed"), 22);
}

TEST_F(Basket, APhotoOpensNothingOnAPieceThatIsReadInFullEither) {
  const std::string id =
      std::to_string(desk()
                         .json({"piece", "add", "--finder", "Ann Lee", "--region", "EU", "--name", "E14"})
                         .at("ids")[0]
                         .get<int>());
  desk().json(with({"key", "--piece", id, "--seen"}, kWholeE14));
  for (const std::string how : {"photo", "report"})
    EXPECT_EQ(desk().json({"piece", "confirm", id, "--by", "Tomas", "--from", how}).at("standing"),
              "doubles contradicted");
  // A word for another name than the piece's is none.
  EXPECT_THAT(refused({"piece", "confirm", id, "--by", "Tomas", "--name", "E10"}), HasSubstr("is named E14"));
  EXPECT_EQ(desk().json({"piece", "confirm", id, "--by", "Tomas"}).at("standing"), "confirmed");
}

TEST_F(Basket, AReadingTakenBackOrChangedEndsTheConfirmation) {
  const int all = desk().json({"piece", "list"}).at("confirmed");
  for (const Words& change : std::vector<Words>{{"--take-back", "C31"}, {"--seen", "C31=rust"}}) {
    const Json changed = desk().json(with({"key", "--piece", "2"}, change));
    EXPECT_NE(changed.at("standing"), "confirmed");
    EXPECT_NE(changed.at("standing"), "doubles contradicted");
    EXPECT_THAT(changed.at("said").dump(),
                AllOf(HasSubstr("piece 2 is no longer confirmed"), HasSubstr("Tomas")));
    EXPECT_EQ(desk().json({"piece", "list"}).at("confirmed"), all - 1);
    EXPECT_EQ(show(2).at("confirmations"), Json::array());
    // Read again the gate opens, and the word is asked for again.
    EXPECT_EQ(desk().json({"key", "--piece", "2", "--seen", "C31=white"}).at("standing"),
              "doubles contradicted");
    EXPECT_EQ(desk().json({"piece", "confirm", "2", "--by", "Tomas"}).at("standing"), "confirmed");
  }
  // What leaves the gate open leaves the word, and asking about another name makes none of this one.
  EXPECT_EQ(desk().json({"key", "--piece", "3", "--seen", "C31=cream"}).at("standing"), "confirmed");
  EXPECT_NE(desk().json({"key", "--piece", "3", "--name", "E10"}).at("standing"), "confirmed");
  EXPECT_EQ(desk().json({"key", "--piece", "3", "--name", "E14"}).at("standing"), "confirmed");
}

TEST(AFindsPieces, TakeDayPlaceAndRegionFromIt) {
  Desk desk("2026-05-11");
  ASSERT_EQ(desk.run({"demo", "valley"}).status, 0);
  desk.set("STUMPWISE_BOOK", desk.path("valley/ennoway.gpkg"));
  const Json find = desk.json({"find", "list"}).at("finds").at(0);
  const Json added = desk.json({"piece", "add", "--finder", "Ann", "--find",
                                std::to_string(find.at("id").get<int>()), "--pieces", "23"});
  EXPECT_EQ(added.at("pieces")[0].at("date"), find.at("date"));
  EXPECT_EQ(added.at("pieces")[0].at("region"), "EU+NA-E");
  EXPECT_EQ(added.at("said"), Json::array());
  const auto begun = std::chrono::steady_clock::now();
  const Json list = desk.json({"piece", "list"});
  const std::chrono::duration<double> seconds = std::chrono::steady_clock::now() - begun;
  EXPECT_EQ(list.at("of"), 23);
  EXPECT_LT(seconds.count(), 10) << "a basket is listed while one waits";
  const Json key = desk.json({"key", "--piece", "1", "--seen", "C01=pores"});
  EXPECT_THAT(key.at("said").dump(), HasSubstr("EU+NA-E"));
  EXPECT_EQ(key.at("regions"), Json({"EU", "NA-E"}));
}

TEST(AKilledProgram, LeavesEveryCallWholeOrAbsent) {
  if (!has_tool("timeout")) GTEST_SKIP() << "no timeout(1) here";
  const Desk desk("2026-10-18");
  desk.json({"piece", "add", "--finder", "Ann", "--region", "EU", "--name", "E14"});
  const Words call = with(with({program(), "key", "--piece", "1", "--seen"}, kWholeE14), {"--begin", "C53"});
  std::size_t calls = 0;
  int killed = 0;
  for (int at_ms = 1; at_ms < 400 && killed < 40; at_ms += at_ms < 100 ? 13 : 19) {
    const std::string seconds = std::to_string(at_ms / 1000.0);
    const Answer answer = desk.tool("timeout", with({"-s", "KILL", seconds}, call));
    killed += answer.status != 0;
    const Json piece = desk.json({"piece", "show", "1"});
    ASSERT_EQ(piece.at("history").size() % kWholeE14.size(), 0u) << "a part of a call at " << at_ms << " ms";
    EXPECT_EQ(piece.at("waits").empty(), piece.at("history").empty()) << at_ms;
    EXPECT_GE(piece.at("history").size() / kWholeE14.size(), calls);
    calls = piece.at("history").size() / kWholeE14.size();
  }
  EXPECT_GT(killed, 5);
  EXPECT_EQ(desk.run({"check"}).status, 0);
  EXPECT_EQ(desk.run({"key", "--piece", "1", "--seen", "C31=white"}).status, 0);
}

}  // namespace
}  // namespace stumpwise::e2e
