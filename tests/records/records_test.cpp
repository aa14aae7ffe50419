#include "stumpwise/records/records.h"

#include <gtest/gtest.h>

namespace stumpwise::records {
namespace {

TEST(Outing, BlankIsWithoutFindsWhateverWasLookedFor) {
  Outing outing;
  EXPECT_TRUE(is_blank(outing));
  outing.targets = {"E01", "O22"};
  EXPECT_TRUE(is_blank(outing));
  Find find;
  find.species = "X04";
  outing.finds = {find, find};
  EXPECT_FALSE(is_blank(outing));
  EXPECT_TRUE(looked_for(outing, "E01"));
  EXPECT_FALSE(looked_for(outing, "X04"));
  EXPECT_EQ(count_finds(outing, "X04"), 2);
  EXPECT_EQ(count_finds(outing, "E01"), 0);
}

TEST(Records, AreComparedByValue) {
  Outing a, b;
  a.track = b.track = {{{.lat_deg = 42, .lon_deg = -30}, std::nullopt, 310, 0}};
  EXPECT_EQ(a, b);
  b.track.front().segment = 1;
  EXPECT_FALSE(a == b);
}

}  // namespace
}  // namespace stumpwise::records
