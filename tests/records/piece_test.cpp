#include "stumpwise/records/piece.h"

#include <gtest/gtest.h>

namespace stumpwise::records {
namespace {

Observation reading(std::int64_t id, const std::string& character, const std::string& withdrawn_at = "") {
  Observation made;
  made.id = id;
  made.character = character;
  made.states = {"none"};
  made.withdrawn_at = withdrawn_at;
  return made;
}

std::vector<std::int64_t> ids(const std::vector<Observation>& readings) {
  std::vector<std::int64_t> list;
  for (const Observation& made : readings) list.push_back(made.id);
  return list;
}

TEST(Current, TakesTheLastReadingOfEachCharacterInTheOrderOfTheFirst) {
  EXPECT_EQ(ids(current({reading(1, "C01"), reading(2, "C31"), reading(3, "C01"), reading(4, "C32.length")})),
            (std::vector<std::int64_t>{3, 2, 4}));
  EXPECT_TRUE(current({}).empty());
}

TEST(Current, WithdrawnOneLetsTheOneBeforeItCountAgain) {
  EXPECT_EQ(ids(current({reading(1, "C01"), reading(2, "C01", "2026-10-19")})),
            (std::vector<std::int64_t>{1}));
  EXPECT_TRUE(current({reading(1, "C01", "2026-10-19")}).empty());
}

TEST(Current, PartsOfACharacterAreApart) {
  EXPECT_EQ(ids(current({reading(1, "C32.length"), reading(2, "C32.width")})),
            (std::vector<std::int64_t>{1, 2}));
}

TEST(Piece, IsComparedByValueToTheLastReading) {
  Piece a;
  a.readings = {reading(1, "C01")};
  Piece b = a;
  EXPECT_EQ(a, b);
  b.readings[0].dug = true;
  EXPECT_FALSE(a == b);
}

}  // namespace
}  // namespace stumpwise::records
