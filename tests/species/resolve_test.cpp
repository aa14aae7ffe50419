#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing_files::book;
using testing_files::Copy;

TEST(Resolve, SaysWhatItDid) {
  const auto synonym = book().resolve("Polyporus squamosus");
  EXPECT_EQ(synonym.id, "E01");
  EXPECT_EQ(synonym.said, "Polyporus squamosus is now Cerioporus squamosus");
  EXPECT_EQ(book().resolve("Cerioporus squamosus").said, "");
  EXPECT_EQ(book().resolve("e01").id, "E01");
  EXPECT_EQ(book().resolve("E01").said, "");
  EXPECT_EQ(book().resolve("Dryad’s Saddle").said, "dryad's saddle is Cerioporus squamosus");
  EXPECT_EQ(book().resolve("dryads-saddle").id, "E01");
  EXPECT_EQ(book().resolve("Morchella esculenta").said,
            "Morchella esculenta is kept with Morchella americana in this book");
  EXPECT_EQ(book().resolve("Cerioporus squamosis").said,
            "\"Cerioporus squamosis\" is read as Cerioporus squamosus");
  EXPECT_EQ(book().resolve("Poliporus squamosus").said,
            "\"Poliporus squamosus\" is read as Polyporus squamosus; Polyporus squamosus is now Cerioporus "
            "squamosus");
}

TEST(Resolve, FollowsNamesThroughTheGenera) {
  struct Case {
    const char *asked, *id, *said;
  };
  for (const Case& each :
       {Case{"Lepista nuda", "O26", ""},
        {"Clitocybe nuda", "O26", "Clitocybe nuda is now Lepista nuda"},
        {"Collybia nuda", "O26", "Collybia nuda is now Lepista nuda"},
        {"Galerina autumnalis", "X04", "Galerina autumnalis is now Galerina marginata"},
        {"Boletus badius", "O01", "Boletus badius is kept with Boletus reticulatus in this book"},
        {"destroying angel", "X03", "destroying angel is Amanita bisporigera"},
        {"distroying angel", "X03",
         "\"distroying angel\" is read as destroying angel; destroying angel is Amanita "
         "bisporigera"},
        {"European destroying angel", "X02", "European destroying angel is Amanita virosa"},
        {"Amanita phaloides", "X01", "\"Amanita phaloides\" is read as Amanita phalloides"},
        {"death-cap", "X01", "death cap is Amanita phalloides"},
        {"St Georges mushroom", "O29", "St George's mushroom is Calocybe gambosa"}}) {
    const auto answer = book().resolve(each.asked);
    EXPECT_EQ(answer.id, each.id) << each.asked;
    EXPECT_EQ(answer.said, each.said) << each.asked;
  }
}

// A letter wrong in one name must never make the name of another fungus.
TEST(Resolve, NamesOfTwoProfilesLieTwoLettersApart) {
  std::vector<std::pair<std::string, std::string>> names;  // name, id
  for (const Profile& profile : book().profiles())
    for (const Name& name : profile.names) names.emplace_back(base::lower(name.text), profile.id);
  for (std::size_t i = 0; i < names.size(); ++i)
    for (std::size_t j = i + 1; j < names.size(); ++j) {
      const auto& [a, its] = names[i];
      const auto& [b, other] = names[j];
      const auto apart = a.size() > b.size() ? a.size() - b.size() : b.size() - a.size();
      if (its == other || apart > 1) continue;
      EXPECT_GE(base::edit_distance(a, b), 2) << a << ", " << b;
    }
}

TEST(Resolve, AcceptsAShortGenusWhereItFitsOne) {
  EXPECT_EQ(book().resolve("F. velutipes").id, "O22");
  EXPECT_EQ(book().resolve("C. squamosus").id, "E01");
  EXPECT_EQ(book().resolve("X. squamosus").id, "");
}

TEST(Resolve, NeverGuessesAnIdOrAShortWord) {
  for (const char* asked : {"E99", "E1", "X99", "E011", "", " ", "morel", "chanterelle", "zzzz"})
    EXPECT_EQ(book().resolve(asked).id, "") << asked;
  EXPECT_THAT(book().resolve("chanterelle").near, Contains("golden chanterelle"));
  EXPECT_THAT(book().resolve("chanterelle").near, Contains("funnel chanterelle"));
  EXPECT_THAT(book().resolve("morel").near, Contains("yellow morel"));
}

TEST(Resolve, EveryNameOfTheBookFindsItsProfile) {
  int names = 0;
  for (const Profile& profile : book().profiles()) {
    EXPECT_EQ(book().resolve(profile.id).id, profile.id);
    for (const Name& name : profile.names) {
      ++names;
      const auto answer = book().resolve(name.text);
      EXPECT_EQ(answer.id, profile.id) << name.text;
      EXPECT_EQ(answer.matched, name.text);
      EXPECT_EQ(answer.said.empty(), name.status == "accepted") << name.text;
    }
  }
  EXPECT_GE(names, 1000);
}

RC_GTEST_PROP(Resolve, OneWrongLetterStillResolvesOrIsListed, ()) {
  const auto& profile = *rc::gen::elementOf(book().profiles());
  const auto& name = *rc::gen::elementOf(profile.names);
  std::string asked = name.text;
  const auto place = *rc::gen::inRange<std::size_t>(0, asked.size());
  const char letter = *rc::gen::inRange('a', static_cast<char>('z' + 1));
  switch (*rc::gen::inRange(0, 4)) {
    case 0:
      asked[place] = letter;
      break;
    case 1:
      asked.erase(place, 1);
      break;
    case 2:
      asked.insert(place, 1, letter);
      break;
    default:
      if (place + 1 < asked.size()) std::swap(asked[place], asked[place + 1]);
  }
  const auto answer = book().resolve(asked);
  if (answer.id.empty()) {
    bool listed = false;
    for (const std::string& near : answer.near)
      listed = listed || std::any_of(profile.names.begin(), profile.names.end(),
                                     [&](const Name& own) { return own.text == near; });
    RC_ASSERT(listed);
  } else {
    RC_ASSERT(answer.id == profile.id);
    // Whatever is not the accepted name letter for letter is said aloud (case, accents and apostrophes
    // aside).
    RC_ASSERT(!answer.said.empty() || answer.matched == profile.name());
  }
}

RC_GTEST_PROP(Resolve, NoTextWhateverBreaksIt, (const std::string& text)) {
  const auto answer = book().resolve(text);
  RC_ASSERT(answer.id.empty() || book().find(answer.id) != nullptr);
}

TEST(Resolve, BetweenTwoProfilesItLists) {
  Copy copy;
  // The same vernacular on two profiles, and two names one letter apart with the asked one between them.
  copy.append("taxa/E19-pleurotus-ostreatus.toml",
              "\n[[name]]\ntext = \"winter mushroom\"\nstatus = \"vernacular\"\n"
              "\n[[name]]\ntext = \"grey wood cap\"\nstatus = \"vernacular\"\n");
  copy.append("taxa/X04-galerina-marginata.toml",
              "\n[[name]]\ntext = \"grey food cap\"\nstatus = \"vernacular\"\n");
  const auto parsed = copy.read();
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  EXPECT_EQ(parsed.value.resolve("winter mushroom").id, "");
  EXPECT_EQ(parsed.value.resolve("grey hood cap").id, "");
  EXPECT_THAT(parsed.value.resolve("grey hood cap").near,
              testing::IsSupersetOf({"grey wood cap", "grey food cap"}));
}

TEST(Require, ThrowsWithTheNearestNames) {
  std::vector<std::string> said;
  EXPECT_EQ(book().require("Galerina autumnalis", &said).id, "X04");
  EXPECT_THAT(said, testing::ElementsAre("Galerina autumnalis is now Galerina marginata"));
  try {
    book().require("chanterelle");
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::not_found);
    EXPECT_THAT(error.mend(), HasSubstr("golden chanterelle"));
  }
}

}  // namespace
}  // namespace stumpwise::species
