// Rules G1 to G8 one by one, on the project's own profiles.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "book.h"
#include "stumpwise/key/specimen.h"

namespace stumpwise::key {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing_book::at;
using testing_book::library;
using testing_book::readings;
using testing_book::the_key;

GateResult judge(const std::string& id, const std::vector<Observation>& list,
                 std::vector<std::string> regions = {"EU"}) {
  return the_key().gate().judge(at(id), list, regions);
}

const DangerVerdict* verdict_on(const GateResult& result, const std::string& danger) {
  for (const auto* list : {&result.undefeated, &result.defeated})
    for (const DangerVerdict& verdict : *list)
      if (verdict.id == danger) return &verdict;
  return nullptr;
}

/// The typical body of a name that reaches it, with one reading replaced or left out.
std::vector<Observation> e14_with(const std::string& text) {
  auto list = typical_specimen(library(), at("E14"));
  const Observation reading = parse_observation(library(), text);
  for (Observation& each : list)
    if (each.character == reading.character) each = reading;
  return list;
}
std::vector<Observation> e14_without(const std::string& id) {
  auto list = typical_specimen(library(), at("E14"));
  std::erase_if(list, [&](const Observation& each) { return each.character == id; });
  return list;
}

TEST(Gate, OpensForATypicalBodyReadInFull) {
  const GateResult result = judge("E14", typical_specimen(library(), at("E14")));
  EXPECT_TRUE(result.open);
  EXPECT_THAT(result.undefeated, IsEmpty());
  EXPECT_THAT(result.reasons, IsEmpty());
}
TEST(Gate, G1TheClosureIsEveryDangerOfTheRegion) {
  const GateResult result = judge("E14", {});
  for (const species::Profile& profile : library().profiles()) {
    const bool wanted = profile.group == species::Group::dangerous &&
                        std::count(profile.regions.begin(), profile.regions.end(), "EU") > 0;
    EXPECT_EQ(verdict_on(result, profile.id) != nullptr, wanted) << profile.id;
  }
}
TEST(Gate, G1WithoutARegionOrInOneThatIsNotCoveredItStaysShut) {
  const auto full = typical_specimen(library(), at("E14"));
  const GateResult nowhere = judge("E14", full, {});
  EXPECT_FALSE(nowhere.open);
  EXPECT_THAT(nowhere.reasons, Contains(HasSubstr("say the region")));
  EXPECT_EQ(nowhere.defeated.size() + nowhere.undefeated.size(), 60u);
  const GateResult south = judge("E14", full, {"AU"});
  EXPECT_FALSE(south.open);
  EXPECT_THAT(south.reasons, Contains(HasSubstr("does not know the dangers of Australia")));
}
TEST(Gate, G2AsksForTwoEvidenceGroups) {
  const GateResult one = judge("E14", readings({"C31=white", "C33=smooth@micro"}));
  EXPECT_FALSE(verdict_on(one, "X09")->settled);  // print and spores are one group
  const GateResult two = judge("E14", readings({"C31=white", "C20=one-hollow@cut", "C01=false-ridges"}));
  EXPECT_TRUE(verdict_on(two, "X09")->settled);
}
TEST(Gate, G2OfAListedPairOnlyNamedCharactersCount) {
  const auto& pair = *std::find_if(at("E14").pairs.begin(), at("E14").pairs.end(),
                                   [](const auto& p) { return p.with == "X09"; });
  ASSERT_THAT(pair.characters, Not(Contains("C12")));
  const GateResult result = judge("E14", readings({"C12=funnel", "C07=forked", "C01=false-ridges"}));
  for (const std::string& id : verdict_on(result, "X09")->contradicted_by)
    EXPECT_THAT(pair.characters, Contains(id));
}
TEST(Gate, G2WhatADangerDoesNotRecordSaysNothing) {
  const Observation reading = parse_observation(library(), "C02=1/mm");
  ASSERT_EQ(at("X01").characters.count("C02"), 0u);
  EXPECT_FALSE(contradicts(library(), reading, at("X01"), {}).counts);
}
TEST(Gate, G3ColourSizeAndSmellNeverCount) {
  for (const char* text : {"C15=purple", "C08=black", "C11=900 mm", "C29=chlorine", "C18.length=400"}) {
    const Observation reading = parse_observation(library(), text);
    ASSERT_TRUE(outside(reading, at("X01").characters.at(reading.character))) << text;
    EXPECT_FALSE(contradicts(library(), reading, at("X01"), {}).counts) << text;
    EXPECT_THAT(contradicts(library(), reading, at("X01"), {}).why_not, HasSubstr("(G3)")) << text;
  }
}
TEST(Gate, G4WhereOnlyStainsSettleADangerItsAgeIsAskedFor) {
  // O11 and X29: no chrome in the base is one of the two groups.
  const auto body = typical_specimen(library(), at("O11"));
  Question question;
  question.name = "O11", question.regions = {"EU"}, question.most_next = 100;
  for (const Observation& each : body)
    if (each.character != "C44") question.readings.push_back(each);
  const GateResult with = judge("O11", body), without = judge("O11", question.readings);
  EXPECT_FALSE(with.age_wanted);
  EXPECT_TRUE(without.age_wanted);
  EXPECT_TRUE(verdict_on(without, "X29")->defeated);  // the age betters no verdict on a danger
  EXPECT_THAT(without.reasons, Contains(HasSubstr("C44")));
  const auto next = the_key().answer(question).next;
  EXPECT_TRUE(
      std::any_of(next.begin(), next.end(), [](const Advice& each) { return each.character == "C44"; }));
}
TEST(Gate, G3HabitCountsNotAgainstTheFourKillers) {
  const Observation reading = parse_observation(library(), "C17=lateral");
  EXPECT_FALSE(contradicts(library(), reading, at("X01"), {}).counts);
  EXPECT_THAT(contradicts(library(), reading, at("X01"), {}).why_not, HasSubstr("AMA"));
  EXPECT_TRUE(contradicts(library(), reading, at("X21"), {}).counts);  // coprine
}
TEST(Gate, G3SubstrateOnlyWhenDugOrCut) {
  EXPECT_FALSE(contradicts(library(), parse_observation(library(), "C38=dead-wood"), at("X29"), {}).counts);
  EXPECT_TRUE(
      contradicts(library(), parse_observation(library(), "C38=dead-wood@dug"), at("X29"), {}).counts);
}
TEST(Gate, G4AbsencesThatAgeAndRainMakeNeverCount) {
  EXPECT_FALSE(contradicts(library(), parse_observation(library(), "C22=none"), at("X22"), {}).counts);
  for (const species::Profile& danger : library().profiles())
    for (const species::Character& row : library().characters())
      for (const std::string& state : row.perishable)
        EXPECT_FALSE(contradicts(library(),
                                 parse_observation(library(), row.id + "=" + state + "@dug@cut@micro@300"),
                                 danger, {})
                         .counts)
            << row.id << " " << danger.id;
}
TEST(Gate, G4AMissingStainCountsOnlyWhenWatchedOnAFreshBody) {
  const species::Profile& x29 = at("X29");
  const auto prime = readings({"C44=prime"}), over = readings({"C44=over"});
  EXPECT_FALSE(contradicts(library(), parse_observation(library(), "C25=none@cut"), x29, prime).counts);
  EXPECT_FALSE(contradicts(library(), parse_observation(library(), "C25=none@cut@299"), x29, prime).counts);
  EXPECT_TRUE(contradicts(library(), parse_observation(library(), "C25=none@cut@300"), x29, prime).counts);
  EXPECT_FALSE(contradicts(library(), parse_observation(library(), "C25=none@cut@300"), x29, over).counts);
}
TEST(Gate, G5AnUnsureOrSpeakingReadingHoldsThePair) {
  const GateResult unsure = judge("E14", e14_with("C31=white|rust"));
  EXPECT_FALSE(unsure.open);
  EXPECT_THAT(verdict_on(unsure, "X09")->against, Contains("C31"));
  const GateResult rust = judge("E14", e14_with("C31=rust"));
  EXPECT_FALSE(rust.open);
  EXPECT_THAT(verdict_on(rust, "X09")->against, Contains("C31"));
  EXPECT_THAT(verdict_on(rust, "X09")->reasons, Contains(HasSubstr("speaks for it")));
}
TEST(Gate, G6TwoLuckyReadingsDoNotOutweighTheRest) {
  const auto lucky = readings({"C31=white", "C01=false-ridges"});
  EXPECT_TRUE(verdict_on(judge("E14", lucky), "X09")->defeated);
  const auto with_the_rest = readings(
      {"C31=white", "C01=false-ridges", "C07=none", "C05=adnate", "C22=cobweb-cortina", "C19=belts"});
  const GateResult result = judge("E14", with_the_rest);
  EXPECT_TRUE(verdict_on(result, "X09")->settled);
  EXPECT_LT(verdict_on(result, "X09")->llr, kGateThreshold);
  EXPECT_FALSE(verdict_on(result, "X09")->defeated);
}
TEST(Gate, G6IsTheDividedSumOfEachGroup) {
  // Both SP, novice rates: C31 0.14, C33 0.16; E14 white cream yellow of 11, X09 as it stands in its file.
  const auto one = readings({"C31=white"}), two = readings({"C31=white", "C33=smooth@micro"}),
             other = readings({"C33=smooth@micro"});
  const auto ratio = [&](const auto& list) {
    return the_key().gate().log_likelihood_ratio(at("E14"), at("X09"), list);
  };
  EXPECT_NEAR(ratio(two), (ratio(one) + ratio(other)) / 1.5, 1e-9);
}
TEST(Gate, G7EveryMustSeeIsSeenAsTheNameHasIt) {
  for (const std::string& id : at("E14").must_see) {
    const GateResult result = judge("E14", e14_without(id));
    EXPECT_FALSE(result.open) << id;
    EXPECT_THAT(result.must_see_missing, Contains(id));
  }
  EXPECT_THAT(judge("E14", e14_with("C20=solid@cut")).must_see_contrary, Contains("C20"));
}
TEST(Gate, G7AsksForUndersideFleshOrDugBaseAndSpores) {
  const GateResult result = judge("E14", readings({"C20=one-hollow"}));
  EXPECT_THAT(result.reasons, Contains(HasSubstr("underside")));
  EXPECT_THAT(result.reasons, Contains(HasSubstr("dug base")));
  EXPECT_THAT(result.reasons, Contains(HasSubstr("spores")));
}
TEST(Gate, G8ABlockedPairStaysShutWhateverIsRead) {
  const GateResult result = judge("E05", typical_specimen(library(), at("E05")));
  EXPECT_FALSE(result.open);
  EXPECT_TRUE(verdict_on(result, "X59")->blocked);
  EXPECT_THAT(verdict_on(result, "X59")->missing, IsEmpty());
}
TEST(Gate, OfAHarmlessOrDangerousNameNeverOpens) {
  EXPECT_FALSE(judge("X01", typical_specimen(library(), at("X01"))).open);
  EXPECT_FALSE(judge("N01", typical_specimen(library(), at("N01"))).open);
}

}  // namespace
}  // namespace stumpwise::key
