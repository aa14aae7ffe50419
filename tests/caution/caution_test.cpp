#include "stumpwise/caution/caution.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <regex>
#include <set>

#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::caution {
namespace {

using testing::Contains;
using testing::IsEmpty;
using testing::Not;

std::vector<std::string> ids(Place place) {
  std::vector<std::string> list;
  for (const Caution& caution : cautions_for(place)) list.push_back(caution.id);
  return list;
}

constexpr Place kPlaces[] = {Place::about,    Place::outlook, Place::prospect,   Place::plan,
                             Place::turnback, Place::species, Place::candidates, Place::harvest,
                             Place::kitchen,  Place::access,  Place::share,      Place::map,
                             Place::records,  Place::ill,     Place::learn};

TEST(Cautions, IdsAreKebabCaseAndStandOnce) {
  const std::regex kebab("[a-z0-9]+(-[a-z0-9]+)*");
  std::set<std::string> seen;
  for (const Caution& caution : all()) {
    EXPECT_TRUE(std::regex_match(caution.id, kebab)) << caution.id;
    EXPECT_TRUE(seen.insert(caution.id).second) << caution.id;
    EXPECT_GT(caution.text.size(), 15u) << caution.id;
    EXPECT_EQ(caution.text.back(), '.') << caution.id;
  }
}

TEST(Cautions, EveryPlaceHasSomeAndNoneTwice) {
  for (Place place : kPlaces) {
    const auto list = ids(place);
    EXPECT_FALSE(list.empty());
    EXPECT_EQ(std::set<std::string>(list.begin(), list.end()).size(), list.size());
  }
}

// What must stand where: the-job.md, table of section I and the caution lines of B1 to B18.
TEST(Cautions, StandWhereTheyMust) {
  for (Place place : {Place::about, Place::plan}) {
    EXPECT_THAT(ids(place), Contains("not-a-safety-device"));
    EXPECT_THAT(ids(place), Contains("not-a-clearance"));
  }
  EXPECT_THAT(ids(Place::outlook), Contains("not-a-promise"));
  EXPECT_EQ(ids(Place::candidates).front(), "dangers-first");
  EXPECT_THAT(ids(Place::candidates), Contains("pair-checklist"));
  EXPECT_THAT(ids(Place::harvest), Contains("per-piece"));
  EXPECT_THAT(ids(Place::harvest), Contains("keep-apart"));
  for (const char* id :
       {"cook-thoroughly", "cooking-cannot-remove", "no-home-canning", "new-species-rule", "people-excluded"})
    EXPECT_THAT(ids(Place::kitchen), Contains(id));
  EXPECT_EQ(ids(Place::ill).front(), "call-now");
  EXPECT_THAT(ids(Place::ill), Contains("latency-never-clears"));
  EXPECT_THAT(ids(Place::ill), Contains("no-home-remedies"));
  EXPECT_THAT(ids(Place::ill), Contains("dogs-and-toddlers"));
  EXPECT_THAT(ids(Place::share), Contains("cannot-be-recalled"));
  EXPECT_THAT(ids(Place::access), Contains("not-legal-advice"));
  EXPECT_THAT(ids(Place::turnback), Contains("leave-your-plan"));
  EXPECT_THAT(by_id("not-a-promise").text, testing::HasSubstr("not a promise"));
  EXPECT_THAT(by_id("no-local-records").text, testing::StartsWith("No local records: wide band"));
}

TEST(Cautions, AnUnknownIdIsAFaultOfTheProgram) {
  try {
    by_id("no-such-caution");
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::internal);
  }
}

TEST(Cautions, AResultCarriesThoseOfItsPlaceAndTakesMoreOnce) {
  Cautioned<int> result(7, Place::outlook);
  const auto before = result.cautions().size();
  result.add(by_id("far-station"));
  result.add(by_id("far-station"));
  EXPECT_EQ(result.cautions().size(), before + 1);
  EXPECT_EQ(result.value(), 7);
}

TEST(Wording, NoCautionTextHoldsWhatIsForbidden) {
  for (const Caution& caution : all()) EXPECT_THAT(forbidden_wording(caution.text), IsEmpty()) << caution.id;
}

TEST(Wording, NoIllnessTextSoothes) {
  for (const Caution& caution : cautions_for(Place::ill))
    EXPECT_THAT(forbidden_illness_wording(caution.text), IsEmpty()) << caution.id;
}

class Planted : public testing::TestWithParam<const char*> {};
TEST_P(Planted, IsFound) {
  EXPECT_THAT(forbidden_wording(GetParam()), Not(IsEmpty()));
}
INSTANTIATE_TEST_SUITE_P(
    Wording, Planted,
    testing::Values("This one is safe.", "Safe to eat when young", "It is SAFE", "fail-safe in the kitchen",
                    "a safe, common species", "It can be eaten safely.", "Edible: yes", "edible = true",
                    "confirmed edible", "Confirmed  Edible by two", "100 % certain", "100% certain",
                    "100.0 %", "100\xC2\xA0% sure", "100 percent", "foolproof", "fool-proof",
                    "There are no look-alikes.", "no lookalikes", "no look alikes here", "It has no doubles.",
                    "87 % edible", "edible with a probability of 0.93", "edible (probability 0.9)",
                    "a 95 % chance that it can be eaten", "can be eaten: confidence 0.99", "edibility 92%",
                    "\"edible\":true", "only not quite, but safe", "it is not only safe but tasty"));

class Clean : public testing::TestWithParam<const char*> {};
TEST_P(Clean, PassesThrough) {
  EXPECT_THAT(forbidden_wording(GetParam()), IsEmpty());
}
INSTANTIATE_TEST_SUITE_P(
    Wording, Clean,
    testing::Values("not a safety device", "An unsafe place", "safeguard", "This is not safe.", "never safe",
                    "slope 2100 %", "width: 100%;", "<svg width=\"100%\">", "max-width:100%",
                    "10 % residual moisture", "60 % of the area is tender",
                    "Eaten by many when confirmed, young and cooked",
                    "doubles in this book: X04; others may exist", "90 % interval 0.1 to 0.4",
                    "It says nothing about whether it can be eaten. Band of 90 % beside it.", "edible",
                    "100 g at 90 % water", "Sussex 5 % of visits; the rest was eaten"));

TEST(Wording, AHitShowsTheWordsAroundIt) {
  const auto hits = forbidden_wording("All of it, we think, is safe when it is young.");
  ASSERT_EQ(hits.size(), 1u);
  EXPECT_THAT(hits[0], testing::HasSubstr("we think, is safe when it is"));
}

TEST(Wording, IllnessWordsAreFound) {
  for (const char* text : {"usually mild", "Unlikely to be serious", "wait and see", "Wait-and-see",
                           "harmless", "probably fine", "no need to call"})
    EXPECT_THAT(forbidden_illness_wording(text), Not(IsEmpty())) << text;
  EXPECT_THAT(forbidden_illness_wording("Call now; mildew on the cap."), IsEmpty());
}

std::vector<std::filesystem::path> profile_files() {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(
           std::filesystem::path(STUMPWISE_SOURCE_DIR) / "profiles"))
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  return files;
}

/// Lines of a text with what is forbidden in them.
std::vector<std::string> sweep(const std::string& text) {
  std::vector<std::string> found;
  int number = 0;
  for (const std::string& line : base::split(text, '\n')) {
    ++number;
    for (const std::string& hit : forbidden_wording(line))
      found.push_back(std::to_string(number) + ": " + hit);
  }
  return found;
}

TEST(Sweep, NoProfileHoldsWhatIsForbidden) {
  const auto files = profile_files();
  ASSERT_GE(files.size(), 17u);
  for (const auto& file : files) EXPECT_THAT(sweep(base::read_file(file)), IsEmpty()) << file;
}

TEST(Sweep, FindsAViolationPlantedIntoAnyProfile) {
  for (const auto& file : profile_files()) {
    std::string text = base::read_file(file);
    const std::size_t place = text.find(" = \"");
    ASSERT_NE(place, std::string::npos) << file;
    text.insert(place + 4, "Foolproof and safe to eat. ");
    EXPECT_EQ(sweep(text).size(), 2u) << file;
  }
}

TEST(Sweep, EveryCautionThatAProfileNamesExists) {
  const std::regex line(R"(cautions = \[([^\]]*)\])"), word("\"([^\"]+)\"");
  int named = 0;
  for (const auto& file : profile_files()) {
    const std::string text = base::read_file(file);
    std::smatch match;
    if (!std::regex_search(text, match, line)) continue;
    const std::string list = match[1];
    for (std::sregex_iterator it(list.begin(), list.end(), word), end; it != end; ++it, ++named)
      EXPECT_NO_THROW(by_id((*it)[1].str())) << file;
  }
  EXPECT_GE(named, 24);
}

}  // namespace
}  // namespace stumpwise::caution
