// Posterior, choice of the next character and readings, against published numbers.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <numbers>

#include "book.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing_book::library;

KeyCell states(States set) {
  KeyCell cell;
  cell.recorded = true, cell.states = set;
  return cell;
}

/// One character of `n` states; each taxon records one set.
Matrix one_character(std::size_t n, const std::vector<States>& sets, double misread) {
  Matrix matrix;
  KeyCharacter character;
  character.id = character.name = "c", character.group = "HY", character.misread = misread;
  for (std::size_t s = 0; s < n; ++s) character.states.push_back("s" + std::to_string(s));
  matrix.characters.push_back(character);
  for (States set : sets) {
    matrix.taxa.push_back({std::to_string(matrix.taxa.size()), "t", false});
    matrix.cells.push_back(states(set));
  }
  return matrix;
}

std::vector<double> without_none(std::vector<double> share) {
  share.push_back(0);
  return share;
}

// check-values.md 14.5 (R): three species, prior .5 .3 .2, P(present) .9 .5 .1.
TEST(Published, ThreeSpeciesByBayesAndByGain) {
  const Matrix matrix = one_character(2, {1, 3, 2}, 0.1);  // present; either; absent, a tenth misread
  const std::vector<double> prior{0.5, 0.3, 0.2};
  auto after = [&](States seen) {
    return posterior(prior, 0, log_likelihoods(matrix, {{0, seen, 0, 0.1}}, Grouping::independent));
  };
  const auto present = after(1), absent = after(2);
  for (const auto& [t, p, a] :
       {std::tuple{0, .725806, .131579}, {1, .241935, .394737}, {2, .032258, .473684}}) {
    EXPECT_NEAR(present[static_cast<std::size_t>(t)], p, 1e-6);
    EXPECT_NEAR(absent[static_cast<std::size_t>(t)], a, 1e-6);
  }
  const Gain gain = Chooser(matrix).gains(without_none(prior), {false}).front();
  EXPECT_NEAR(gain.names / std::numbers::ln2, 0.329745, 1e-6);
}

// check-values.md 14.3: Quinlan 1986, Machine Learning 1: 81-106, the fourteen days of weather (M, recomputed
// in R).
TEST(Published, QuinlansFourteenDays) {
  // outlook sunny overcast rain; humidity high normal; wind weak strong: days without play and with it.
  const std::map<std::string, std::pair<std::vector<std::pair<int, int>>, double>> characters = {
      {"outlook", {{{3, 2}, {0, 4}, {2, 3}}, 0.246750}},
      {"humidity", {{{4, 3}, {1, 6}}, 0.151836}},
      {"wind", {{{2, 6}, {3, 3}}, 0.048127}}};
  for (const auto& [name, row] : characters) {
    const auto& [counts, expected] = row;
    std::vector<States> sets;
    std::vector<double> share;
    std::vector<bool> dangerous;
    for (std::size_t s = 0; s < counts.size(); ++s)
      for (const auto& [count, bad] : {std::pair{counts[s].first, true}, {counts[s].second, false}}) {
        sets.push_back(States{1} << s);
        share.push_back(count / 14.0);
        dangerous.push_back(bad);
      }
    Matrix matrix = one_character(counts.size(), sets, 0);
    for (std::size_t t = 0; t < dangerous.size(); ++t) matrix.taxa[t].dangerous = dangerous[t];
    EXPECT_NEAR(Chooser(matrix).gains(without_none(share), {false}).front().danger / std::numbers::ln2,
                expected, 1e-6)
        << name;
  }
}

// check-values.md 14.1 (R on the UCI file of 8124 hypothetical samples after a guide of 1981; its counts of
// class by state).
TEST(Published, GainOfOdourAndPrintOnTheUciFile) {
  struct Table {
    const char* name;
    std::vector<std::pair<int, int>> counts;  // edible, poisonous
    double expected;
  };
  for (const Table& table :
       {Table{"odour",
              {{400, 0}, {400, 0}, {0, 192}, {0, 576}, {0, 2160}, {0, 36}, {3408, 120}, {0, 256}, {0, 576}},
              0.906075},
        Table{
            "spore print",
            {{1648, 224}, {1744, 224}, {48, 1584}, {48, 0}, {0, 72}, {48, 0}, {48, 0}, {576, 1812}, {48, 0}},
            0.480705}}) {
    std::vector<States> sets;
    std::vector<double> share;
    for (std::size_t s = 0; s < table.counts.size(); ++s)
      for (int count : {table.counts[s].first, table.counts[s].second}) {
        sets.push_back(States{1} << s);
        share.push_back(count / 8124.0);
      }
    Matrix matrix = one_character(table.counts.size(), sets, 0);
    for (std::size_t t = 1; t < matrix.taxa.size(); t += 2) matrix.taxa[t].dangerous = true;
    EXPECT_NEAR(Chooser(matrix).gains(without_none(share), {false}).front().danger / std::numbers::ln2,
                table.expected, 1e-6)
        << table.name;
  }
}

// check-values.md 14.4: MacKay 2003, section 4.2: the submarine among 64 squares.
TEST(Published, TheSubmarineGame) {
  auto gain_of_a_shot = [](std::size_t squares_left) {
    std::vector<States> sets(squares_left, 2);
    sets.front() = 1;  // the square that is shot at
    const Matrix matrix = one_character(2, sets, 0);
    std::vector<double> share(squares_left, 1.0 / static_cast<double>(squares_left));
    return Chooser(matrix).gains(without_none(share), {false}).front().names / std::numbers::ln2;
  };
  EXPECT_NEAR(-std::log2(63.0 / 64), 0.022720, 1e-6);  // what the first miss tells
  double misses = 0;
  for (int left = 64; left > 32; --left) misses += -std::log2((left - 1.0) / left);
  EXPECT_NEAR(misses, 1.0, 1e-9);
  // The expected gain of the first shot is the mean of what a miss and a hit tell.
  EXPECT_NEAR(gain_of_a_shot(64), 63.0 / 64 * 0.022720 + 6.0 / 64, 1e-5);
}

TEST(Likelihood, IsThatOfTheOpenMatrix) {  // README of the data: 0.9 m + 0.1 (1 - m) / (K - 1)
  KeyCharacter character;
  character.states = {"a", "b", "c", "d"};
  EXPECT_NEAR(likelihood(character, states(0b0011), {0, 0b0001, 0, 0.1}), 0.9 * 0.5 + 0.1 * 0.5 / 3, 1e-12);
  EXPECT_NEAR(likelihood(character, states(0b0011), {0, 0b0100, 0, 0.1}), 0.1 / 3, 1e-12);
  EXPECT_NEAR(likelihood(character, states(0b0011), {0, 0b0101, 0, 0.1}), 0.9 * 0.5 + 0.1 * 0.5 / 3 + 0.1 / 3,
              1e-12);
  EXPECT_NEAR(likelihood(character, KeyCell{}, {0, 0b0001, 0, 0.1}), 0.25, 1e-12);
  KeyCharacter number;
  number.range = 50;
  KeyCell cell;
  cell.recorded = true, cell.mean = 10, cell.sd = 2;
  EXPECT_NEAR(likelihood(number, cell, {0, 0, 10, 0.1}),
              0.9 / (2 * std::sqrt(2 * std::numbers::pi)) + 0.1 / 50, 1e-12);
}

TEST(Posterior, CapsAGroupAndKeepsTheFloor) {
  Matrix matrix = one_character(2, {1, 2}, 0.1);
  matrix.characters.push_back(matrix.characters.front());
  matrix.cells = {states(1), states(1), states(2), states(2)};
  const std::vector<Evidence> two{{0, 1, 0, 0.1}, {1, 1, 0, 0.1}};
  const auto full = log_likelihoods(matrix, two, Grouping::independent),
             capped = log_likelihoods(matrix, two, Grouping::capped);
  EXPECT_NEAR(capped[0], full[0] / 1.5, 1e-12);
  matrix.taxa[1].dangerous = true;
  const auto prior = floored_prior(matrix, {1, 0}, 0.05, 0.5);
  EXPECT_NEAR(prior[1] / prior[0], 0.25, 1e-12);  // half of the even share, against a full weight
}

TEST(Readings, AreWrittenInAnyUsualUnit) {
  EXPECT_EQ(*parse_observation(library(), "C11=5 cm").low, 50);
  EXPECT_EQ(*parse_observation(library(), "c11 = 2 in").low, 50.8);
  EXPECT_EQ(*parse_observation(library(), "C11=120").low, 120);
  EXPECT_EQ(*parse_observation(library(), "C06.count=40/cm").low, 40);
  EXPECT_EQ(*parse_observation(library(), "C32.length=9.5 µm@micro").low, 9.5);
  const Observation span = parse_observation(library(), "C11=4-6 cm");
  EXPECT_EQ(*span.low, 40);
  EXPECT_EQ(*span.high, 60);
  EXPECT_TRUE(unsure(span));
  const Observation stain = parse_observation(library(), "C26.change=none@cut@300");
  EXPECT_TRUE(stain.cut && !stain.dug);
  EXPECT_EQ(*stain.watched_s, 300);
  EXPECT_EQ(to_text(stain), "C26.change=none@cut@300");
  EXPECT_THAT(parse_observation(library(), "C31=white|cream").states, ElementsAre("white", "cream"));
}

TEST(Readings, ThatAreOffSayWhatIsAllowed) {
  for (const auto& [text, what] : {std::pair{"C99=white", "no character"},
                                   {"C31=whit", "perhaps white"},
                                   {"C32=9", "in parts"},
                                   {"C11=9 km", "no number with a unit"},
                                   {"C11=3 m", "outside"},
                                   {"C11=", "no value"},
                                   {"C11", "no reading"},
                                   {"C20=solid@dig", "how it was read"},
                                   {"C11=6-4 cm", "no number"},
                                   {"=white", "no reading"},
                                   {"C11=nan", "no number"},
                                   {"C20=solid@-5", "how it was read"}})
    try {
      parse_observation(library(), text);
      ADD_FAILURE() << text;
    } catch (const Error& error) {
      EXPECT_THAT(error.full_text(), HasSubstr(what)) << text;
      EXPECT_FALSE(error.mend().empty()) << text;
    }
}

TEST(Readings, AreMisreadAsTheDomainPaperHasIt) {
  const Observation base = parse_observation(library(), "C23=sac"),
                    dug = parse_observation(library(), "C23=sac@dug");
  const species::Character& row = *library().character("C23");
  EXPECT_DOUBLE_EQ(misread_rate(row, base, Experience::trained), 0.20);
  EXPECT_DOUBLE_EQ(misread_rate(row, dug, Experience::trained), 0.03);
  EXPECT_DOUBLE_EQ(misread_rate(row, base, Experience::novice), 0.40);
  EXPECT_DOUBLE_EQ(misread_rate(*library().character("C15"), base, Experience::novice),
                   0.40);  // min(2 e, 0.4)
}

}  // namespace
}  // namespace stumpwise::key
