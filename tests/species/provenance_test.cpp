// How complete the profiles are, and which names the gate can never open.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing_files::book;
using testing_files::Copy;

const std::string kE14 = "taxa/E14-craterellus-tubaeformis.toml", kX09 = "taxa/X09-cortinarius-rubellus.toml";

const ShutName* shut(const Provenance& sum, const std::string& id) {
  for (const ShutName& name : sum.never_above_candidate)
    if (name.id == id) return &name;
  return nullptr;
}

std::vector<std::string> keepers(const ShutName& name, const std::string& region) {
  for (const ShutRegion& each : name.regions)
    if (each.region == region) return each.shut_by;
  throw std::runtime_error(name.id + " has no " + region);
}

Provenance of(const Copy& copy) {
  return provenance(base::value_or_throw(copy.read(), "profiles"));
}

/// E14 and X09 blocked on both sides.
void block(Copy& copy) {
  copy.replace(kE14, "with = \"X09\"", "with = \"X09\"\nblocked = true");
  copy.replace(kX09, "with = \"E14\"", "with = \"E14\"\nblocked = true");
}

TEST(Provenance, CountsEveryValueOnceAndByGroup) {
  const Provenance sum = provenance(book());
  EXPECT_EQ(sum.profiles, 136);
  EXPECT_EQ(sum.cited + sum.memory + sum.assumption + sum.common_practice, sum.values);
  int profiles = 0, values = 0;
  for (const GroupCompleteness& group : sum.groups) {
    profiles += group.profiles;
    values += group.sources.values;
    EXPECT_LE(group.least_characters, group.mean_characters);
    EXPECT_EQ(book().find(group.least_id)->characters.size(),
              static_cast<std::size_t>(group.least_characters));
  }
  EXPECT_EQ(profiles, sum.profiles);
  EXPECT_EQ(values, sum.values);
  ASSERT_EQ(sum.groups.size(), 4u);
  EXPECT_EQ(sum.groups[0].profiles, 24);
  EXPECT_EQ(sum.groups[1].profiles, 45);
  EXPECT_EQ(sum.groups[2].profiles, 7);
  EXPECT_EQ(sum.groups[3].profiles, 60);
  // A pair stands on both sides: the sides of all groups are twice the pairs.
  int sides = 0;
  for (const GroupCompleteness& group : sum.groups) sides += group.open_pairs + group.blocked_pairs;
  EXPECT_EQ(sides, 2 * sum.pairs);
}

// Every onset range of the syndromes, and at least 60 % of what tells dangers apart, was read somewhere.
TEST(Provenance, TellsHowFarWhatDecidesWasChecked) {
  const DangerSources dangers = provenance(book()).dangers;
  EXPECT_EQ(dangers.onsets_checked, dangers.onsets);
  EXPECT_GT(dangers.separating, 100);
  EXPECT_GE(dangers.separating_checked, 0.6 * dangers.separating);
  Copy copy;
  copy.set_line("syndromes.toml", "id = \"ORE\"", "source", "source = \"memory\"");
  copy.set_line(kX09, "[characters]", "C31", "C31 = { states = [\"rust\"], source = \"memory\" }");
  const DangerSources less = of(copy).dangers;
  EXPECT_EQ(less.onsets_checked, dangers.onsets_checked - 2);
  EXPECT_EQ(less.separating, dangers.separating);
  EXPECT_LE(less.separating_checked, dangers.separating_checked);
}

TEST(Provenance, OfOneProfileIsItsOwn) {
  const SourceCounts own = source_counts(*book().find("E01"));
  EXPECT_EQ(own.cited + own.memory + own.assumption + own.common_practice, own.values);
  EXPECT_GT(own.cited, 10);
  EXPECT_EQ(own.disputed, 2);
}

TEST(Shut, ABlockedPairShutsInTheRegionsOfTheDangerOnly) {
  EXPECT_EQ(shut(provenance(book()), "E14"), nullptr);
  Copy copy;
  block(copy);
  const Provenance both = of(copy);
  ASSERT_NE(shut(both, "E14"), nullptr);
  EXPECT_EQ(shut(both, "E14")->name, "Craterellus tubaeformis");
  EXPECT_THAT(keepers(*shut(both, "E14"), "EU"), ElementsAre("X09"));
  EXPECT_THAT(keepers(*shut(both, "E14"), "NA-E"), ElementsAre("X09"));
  EXPECT_EQ(shut(both, "E14")->regions.size(), 2u);  // NA-W is not covered
  copy.set_line(kX09, "", "regions", "regions = [\"EU\"]");
  EXPECT_EQ(shut(of(copy), "E14"), nullptr);  // opens in NA-E
}

TEST(Shut, ADangerThatIsNotListedShutsWhereTooLittleTellsItApart) {
  Copy copy;
  // Without characters the web cap contradicts nothing; the pair goes on both sides, its region's gate does
  // not.
  copy.replace(kE14, "with = \"X09\"", "with = \"X60\"");
  copy.replace(kX09, "[characters]\n", "[characters]\nC01 = [\"blade-gills\"]\n[unused]\n");
  const ShutName* name = nullptr;
  const Provenance sum = provenance(copy.read().value);
  name = shut(sum, "E14");
  ASSERT_NE(name, nullptr);
  EXPECT_THAT(keepers(*name, "EU"), Contains("X09"));
}

TEST(Shut, WithoutMustSeesOrCoverItIsShutEverywhere) {
  Copy copy;
  copy.set_line(kE14, "", "must_see", "");
  const Provenance without = of(copy);
  ASSERT_NE(shut(without, "E14"), nullptr);
  EXPECT_TRUE(shut(without, "E14")->without_must_see);
  EXPECT_THAT(keepers(*shut(without, "E14"), "EU"), testing::IsEmpty());
  Copy bare;
  for (const char* code : {"EU", "NA-E"})
    bare.set_line("regions.toml", "code = \"" + std::string(code) + "\"", "dangers_covered",
                  "dangers_covered = false");
  EXPECT_EQ(of(bare).never_above_candidate.size(), 69u);  // G1: no region is covered
}

// What the book is for: names that a beginner can bring to "doubles contradicted" exist, and the list says
// which cannot.
TEST(Shut, TheBookOpensForSomeAndSaysForWhomNot) {
  const Provenance sum = provenance(book());
  for (const char* id : {"E01", "E10", "E14"}) EXPECT_EQ(shut(sum, id), nullptr) << id;
  for (const char* id : {"E05", "O16", "O17", "O27"}) EXPECT_NE(shut(sum, id), nullptr) << id;
  std::printf(
      "values %d: cited %d, memory %d, assumption %d, common practice %d, disputed %d; pairs %d, blocked %d; "
      "shut: %zu\n",
      sum.values, sum.cited, sum.memory, sum.assumption, sum.common_practice, sum.disputed, sum.pairs,
      sum.blocked_pairs, sum.never_above_candidate.size());
}

}  // namespace
}  // namespace stumpwise::species
