// What the twelve profiles must say, whoever edits them.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <set>

#include "files.h"
#include "stumpwise/base/csv.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing_files::book;

const Profile& at(const std::string& id) {
  const Profile* profile = book().find(id);
  if (!profile) throw std::runtime_error("no profile " + id);
  return *profile;
}

const Pair& pair_of(const std::string& id, const std::string& with) {
  for (const Pair& pair : at(id).pairs)
    if (pair.with == with) return pair;
  throw std::runtime_error("no pair " + id + " " + with);
}

TEST(Content, TheTwelve) {
  std::vector<std::string> ids;
  for (const Profile& profile : book().profiles()) ids.push_back(profile.id);
  EXPECT_THAT(
      ids, ElementsAre("E01", "E02", "E05", "E07", "E10", "E14", "E19", "O18", "O22", "X04", "X09", "X23"));
}

TEST(Content, EnoughCharactersEach) {
  for (const Profile& profile : book().profiles())
    EXPECT_GE(profile.characters.size(), profile.group == Group::dangerous ? 16u : 20u) << profile.id;
}

TEST(Content, EveryDangerCarriesItsSyndromeAndNeverIsFood) {
  const std::map<std::string, std::string> syndromes = {{"X04", "AMA"}, {"X09", "ORE"}, {"X23", "GI"}};
  for (const auto& [id, syndrome] : syndromes) {
    ASSERT_TRUE(at(id).danger) << id;
    EXPECT_EQ(at(id).danger->syndrome, syndrome);
    EXPECT_EQ(at(id).never.front().id, "never-food");
    EXPECT_TRUE(at(id).kitchen.empty() && at(id).harvest.empty()) << id;
  }
}

// the-job.md, issue 3: the common-practice facts for E01.
TEST(Content, TheScalyPolypore) {
  const Profile& e01 = at("E01");
  EXPECT_THAT(e01.characters.at("C31").states, ElementsAre("white"));
  EXPECT_THAT(e01.characters.at("C05").states, ElementsAre("decurrent"));
  EXPECT_THAT(e01.characters.at("C51").states, Contains("darkening-from-base"));
  EXPECT_THAT(e01.characters.at("C43").states, ElementsAre("annual"));
  EXPECT_EQ(book().character("C29")->evidence_group, "OD");
  EXPECT_EQ(std::count(e01.must_see.begin(), e01.must_see.end(), "C29"), 0);
  EXPECT_EQ(e01.hosts.front().genus, "Ulmus");
  for (int month : {4, 5, 6}) EXPECT_THAT(e01.months, Contains(month));
  const SeasonMode& main = e01.triggers.season.front();
  EXPECT_TRUE(main.peak_day >= 91 && main.peak_day <= 181 && main.weight == 1);
  for (std::size_t i = 1; i < e01.triggers.season.size(); ++i) EXPECT_LT(e01.triggers.season[i].weight, 0.5);
  const auto rule = std::find_if(e01.harvest.begin(), e01.harvest.end(),
                                 [](const Rule& r) { return r.id == "size-classes"; });
  ASSERT_NE(rule, e01.harvest.end());
  EXPECT_THAT(rule->text, testing::HasSubstr("up to about 5 cm"));
}

TEST(Content, ThePairsThatTheDomainPaperNames) {
  for (const auto& [name, danger] : {std::pair{"O22", "X04"},
                                     {"O18", "X04"},
                                     {"E10", "X09"},
                                     {"E14", "X09"},
                                     {"O18", "X09"},
                                     {"E05", "X23"},
                                     {"E10", "X23"}}) {
    EXPECT_FALSE(pair_of(name, danger).blocked) << name << danger;
    EXPECT_FALSE(pair_of(name, danger).pending) << name << danger;
    EXPECT_FALSE(pair_of(danger, name).blocked) << name << danger;
  }
  for (const auto& [name, danger] : {std::pair{"O18", "X23"}, {"E19", "X23"}})
    EXPECT_TRUE(pair_of(name, danger).blocked) << name;
  for (const auto& [name, danger] : {std::pair{"E05", "X45"}, {"E10", "X41"}, {"E02", "X13"}})
    EXPECT_TRUE(pair_of(name, danger).blocked) << name;
}

TEST(Content, ConiferLaetiporusIsNeverForTheTable) {
  const auto& never = at("E05").never;
  EXPECT_TRUE(
      std::any_of(never.begin(), never.end(), [](const Rule& rule) { return rule.id == "conifer-or-yew"; }));
  for (const HostWeight& host : at("E05").hosts)
    for (const char* conifer : {"Pinus", "Picea", "Abies", "Tsuga", "Larix", "Taxus"})
      EXPECT_NE(host.genus, conifer);
}

// check-values.md section 16, after Poisoning & Drug Overdose and Graeme 2014, table 1 (published).
TEST(Content, TheOnsetTable) {
  struct Row {
    const char* id;
    double gut_least, gut_most;
  };
  for (const Row& row : {Row{"AMA", 6, 24},
                         {"ORE", 24, 36},
                         {"ANL", 0.5, 12},
                         {"MUS", 0.25, 5},
                         {"IBO", 0.5, 3},
                         {"GYR", 2, 48}}) {
    const Syndrome* syndrome = book().syndrome(row.id);
    ASSERT_TRUE(syndrome && syndrome->gut_onset_h) << row.id;
    EXPECT_DOUBLE_EQ(syndrome->gut_onset_h->min, row.gut_least) << row.id;
    EXPECT_DOUBLE_EQ(syndrome->gut_onset_h->max, row.gut_most) << row.id;
  }
  for (const char* id : {"AMA", "ORE", "ANL"}) EXPECT_TRUE(book().syndrome(id)->organ_onset_h) << id;
  EXPECT_DOUBLE_EQ(book().syndrome("ORE")->organ_onset_h->max, 20 * 24);
}

TEST(Content, NoRegionClaimsToBeCoveredYet) {
  for (const Region& region : book().regions()) EXPECT_FALSE(region.dangers_covered) << region.code;
}

TEST(Content, TheVocabularyHoldsEveryCharacterOfSectionD) {
  std::set<std::string> whole;
  for (const Character& row : book().characters()) whole.insert(row.part_of.empty() ? row.id : row.part_of);
  for (int number = 1; number <= 50; ++number) {
    char id[8];
    std::snprintf(id, sizeof id, "C%02d", number);
    EXPECT_EQ(whole.count(id), 1u) << id;
  }
  EXPECT_DOUBLE_EQ(book().character("C23")->misread, 0.20);
  EXPECT_DOUBLE_EQ(book().character("C23")->misread_dug, 0.03);
  EXPECT_DOUBLE_EQ(book().character("C15")->misread, 0.25);
  EXPECT_DOUBLE_EQ(book().character("C31")->misread, 0.07);
}

TEST(Content, GuildsFollowSectionG) {
  const Triggers& polypore = at("E01").triggers;
  EXPECT_EQ(polypore.guild, "spring hardwood polypore");
  EXPECT_DOUBLE_EQ(polypore.t_min_degc, 2);
  EXPECT_DOUBLE_EQ(polypore.t_opt_degc, 15);
  EXPECT_DOUBLE_EQ(polypore.t_max_degc, 28);
  EXPECT_EQ(polypore.lag_min_days, 3);
  EXPECT_EQ(polypore.lag_max_days, 10);
  const Triggers& velvet = at("O22").triggers;
  EXPECT_TRUE(velvet.t_opt_degc >= 8 && velvet.t_opt_degc <= 12);
  EXPECT_LE(velvet.t_max_degc, 20);
  EXPECT_FALSE(velvet.frost_kill_degc);
  EXPECT_EQ(at("E02").triggers.temperature_of, TemperatureOf::soil);
}

// Mean spore sizes of Baessler et al. 2015, Fungal Ecology 17: 205-212 (published; ../shared/data/spores):
// each mean lies in the usual range or within 10 % of it.
TEST(Content, SporesAgreeWithPublishedMeans) {
  const char* shared = std::getenv("STUMPWISE_SHARED");
  const std::filesystem::path folder =
      shared ? std::filesystem::path(shared) / "data" : testing_files::source() / ".." / "shared" / "data";
  auto file = folder / "spores" / "bassler-2015-visible.csv";
  if (shared && !std::filesystem::exists(file))  // the variable may name the data folder itself
    file = std::filesystem::path(shared) / "spores" / "bassler-2015-visible.csv";
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "needs data/spores of the shared data";
  const auto table = base::value_or_throw(base::parse_csv(base::read_file(file), file.string()), "spores");
  int compared = 0;
  for (const auto& row : table.rows) {
    const auto answer = book().resolve(row.cells[*table.column("name")]);
    if (answer.id.empty() || answer.matched != row.cells[*table.column("name")]) continue;
    ++compared;
    for (const auto& [column, id] :
         {std::pair{"mean_length_um", "C32.length"}, {"mean_width_um", "C32.width"}}) {
      const double mean = *base::parse_number(row.cells[*table.column(column)]);
      const NumericRange& range = *at(answer.id).characters.at(id).range;
      EXPECT_GE(mean, range.usual_min * 0.9) << answer.id << " " << id;
      EXPECT_LE(mean, range.usual_max * 1.1) << answer.id << " " << id;
    }
  }
  EXPECT_GE(compared, 2);
}

TEST(Content, Provenance) {
  const auto sum = provenance(book());
  EXPECT_EQ(sum.profiles, 12);
  EXPECT_EQ(sum.cited + sum.memory + sum.assumption + sum.common_practice, sum.values);
  EXPECT_GE(sum.disputed, 3);
  EXPECT_THAT(sum.never_above_candidate, Contains("E19"));
  RecordProperty("values", sum.values);
  std::printf(
      "values %d: cited %d, memory %d, assumption %d, common practice %d, disputed %d; pairs %d, blocked %d, "
      "pending %d; shut: %s\n",
      sum.values, sum.cited, sum.memory, sum.assumption, sum.common_practice, sum.disputed, sum.pairs,
      sum.blocked_pairs, sum.pending_pairs, base::join(sum.never_above_candidate, " ").c_str());
}

}  // namespace
}  // namespace stumpwise::species
