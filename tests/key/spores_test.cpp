// Spore statistics, their notation, reading of measured spores and the comparison with profiles.
#include "stumpwise/key/spores.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <random>

#include "stumpwise/base/error.h"
#include "stumpwise/key/spore_fit.h"

namespace stumpwise::key {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;

// Check values, section 10, the synthetic regression (ours, recomputed; printed nowhere).
const std::vector<double> kLengths{8.1, 8.4, 8.5, 8.7, 8.8, 8.9, 9.0, 9.0,  9.1,  9.2,
                                   9.3, 9.3, 9.4, 9.5, 9.6, 9.7, 9.8, 10.0, 10.3, 11.2};
const std::vector<double> kWidths{5.0, 5.2, 5.1, 5.4, 5.3, 5.5, 5.6, 5.4, 5.7, 5.5,
                                  5.6, 5.8, 5.7, 5.9, 5.8, 6.0, 5.9, 6.1, 6.2, 6.6};

std::vector<Spore> regression() {
  std::vector<Spore> spores;
  for (std::size_t i = 0; i < kLengths.size(); ++i) spores.push_back({kLengths[i], kWidths[i], "", ""});
  return spores;
}

void expect_same(const Spread& a, const Spread& b) {
  EXPECT_EQ(a.min, b.min);
  EXPECT_EQ(a.p5, b.p5);
  EXPECT_EQ(a.mean, b.mean);
  EXPECT_EQ(a.sd, b.sd);
  EXPECT_EQ(a.p95, b.p95);
  EXPECT_EQ(a.max, b.max);
}

Error caught(const std::function<void()>& run) {
  try {
    run();
  } catch (const Error& error) {
    return error;
  }
  return {ErrorCode::internal, "nothing was thrown"};
}

TEST(SporeStatistics, TheSyntheticRegression) {
  const SporeStatistics s = spore_statistics(regression());
  EXPECT_EQ(s.spores, 20);
  EXPECT_EQ(s.bodies.size(), 1u);
  EXPECT_EQ(s.collections, 1);
  EXPECT_FALSE(s.few());
  EXPECT_DOUBLE_EQ(s.length_um.min, 8.1);
  EXPECT_NEAR(s.length_um.p5, 8.385, 1e-9);
  EXPECT_NEAR(s.length_um.p95, 10.345, 1e-9);
  EXPECT_DOUBLE_EQ(s.length_um.max, 11.2);
  EXPECT_NEAR(s.length_um.mean, 9.2900, 1e-9);
  EXPECT_NEAR(s.length_um.sd, 0.7085, 5e-5);
  EXPECT_DOUBLE_EQ(s.width_um.min, 5.0);
  EXPECT_NEAR(s.width_um.p5, 5.095, 1e-9);
  EXPECT_NEAR(s.width_um.p95, 6.22, 1e-9);
  EXPECT_DOUBLE_EQ(s.width_um.max, 6.6);
  EXPECT_NEAR(s.width_um.mean, 5.6650, 1e-9);
  EXPECT_NEAR(s.width_um.sd, 0.3924, 5e-5);
  EXPECT_NEAR(s.q.min, 1.5965, 5e-5);
  EXPECT_NEAR(s.q.p5, 1.6031, 5e-5);
  EXPECT_NEAR(s.q.p95, 1.6739, 5e-5);
  EXPECT_NEAR(s.q.max, 1.6970, 5e-5);
  EXPECT_NEAR(s.q.mean, 1.6394, 5e-5);
  EXPECT_NEAR(s.length_um.mean / s.width_um.mean, 1.6399, 5e-5)
      << "the quotient of the means is another number";
}

TEST(SporeStatistics, BelowTenIsRefusedWithTheReason) {
  std::vector<Spore> nine = regression();
  nine.resize(9);
  const Error error = caught([&] { spore_statistics(nine); });
  EXPECT_EQ(error.code(), ErrorCode::no_data);
  EXPECT_THAT(error.full_text(),
              AllOf(HasSubstr("9 spores measured: at least 10"), HasSubstr("one odd spore")));
  EXPECT_EQ(caught([] { spore_statistics({}); }).code(), ErrorCode::no_data);
}

TEST(SporeStatistics, FromTenToNineteenItIsFew) {
  for (const auto& [n, few] : {std::pair{10u, true}, {19u, true}, {20u, false}}) {
    std::vector<Spore> spores = regression();
    spores.resize(n);
    EXPECT_EQ(spore_statistics(spores).few(), few) << n;
  }
}

TEST(SporeStatistics, ImpossibleSporesAreRefused) {
  for (const Spore& bad :
       {Spore{0, 5, "", ""}, Spore{9, 0, "", ""}, Spore{9, -1, "", ""}, Spore{5, 9, "", ""},
        Spore{200.1, 5, "", ""}, Spore{std::nan(""), 5, "", ""}, Spore{9, std::nan(""), "", ""}}) {
    std::vector<Spore> spores = regression();
    spores[3] = bad;
    const Error error = caught([&] { spore_statistics(spores); });
    EXPECT_EQ(error.code(), ErrorCode::bad_value);
    EXPECT_THAT(error.what(), HasSubstr("spore 4:"));
  }
}

TEST(SporeStatistics, ABodyIsASpecimenOfACollection) {
  std::vector<Spore> spores = regression();
  for (std::size_t i = 0; i < spores.size(); ++i) {
    spores[i].collection = i < 10 ? "may" : "june";
    spores[i].specimen = i % 10 < 5 ? "1" : "2";
  }
  const SporeStatistics s = spore_statistics(spores);
  EXPECT_EQ(s.collections, 2);
  ASSERT_EQ(s.bodies.size(), 4u) << "specimen 1 of May is not specimen 1 of June";
  EXPECT_EQ(s.bodies[2].collection, "may");
  EXPECT_EQ(s.bodies[2].specimen, "1");
  EXPECT_EQ(s.bodies[2].spores, 5);
  EXPECT_NEAR(s.bodies[2].mean_length_um, (8.1 + 8.4 + 8.5 + 8.7 + 8.8) / 5, 1e-12);
  EXPECT_NEAR(s.bodies[2].mean_width_um, (5.0 + 5.2 + 5.1 + 5.4 + 5.3) / 5, 1e-12);
  EXPECT_NEAR(s.bodies[2].mean_q, (8.1 / 5.0 + 8.4 / 5.2 + 8.5 / 5.1 + 8.7 / 5.4 + 8.8 / 5.3) / 5, 1e-12);
  EXPECT_THAT(bracket_notation(s),
              AllOf(testing::StartsWith("[20/4/2] "), HasSubstr("L = 8.5–10.2, L' = 9.3"),
                    HasSubstr("W = 5.2–6.2, W' = 5.7"), HasSubstr("mean Q = 1.63–1.66")));
}

// Classes of Bas 1969 as the check values give them (the last three from memory); a bound belongs to the
// class above.
TEST(SporeShape, ClassesByQ) {
  const std::vector<std::pair<double, std::string>> table{
      {1.0, "globose"},      {1.049, "globose"},          {1.05, "subglobose"},
      {1.149, "subglobose"}, {1.15, "broadly ellipsoid"}, {1.299, "broadly ellipsoid"},
      {1.3, "ellipsoid"},    {1.599, "ellipsoid"},        {1.6, "elongate"},
      {1.999, "elongate"},   {2.0, "cylindrical"},        {2.999, "cylindrical"},
      {3.0, "bacilliform"},  {40, "bacilliform"}};
  for (const auto& [q, name] : table) EXPECT_EQ(spore_shape(q).name, name) << q;
  EXPECT_EQ(spore_shape(1.5).source, "Bas 1969");
  EXPECT_EQ(spore_shape(1.7).source, "memory");
  EXPECT_EQ(caught([] { spore_shape(0.9); }).code(), ErrorCode::bad_value);
}

// Notation of Tulloss & Lindgren 2005, Mycotaxon 91: 193-194.
TEST(BracketNotation, OfTheRegression) {
  EXPECT_EQ(bracket_notation(spore_statistics(regression())),
            "[20/1/1] (8.1–) 8.4–10.3 (–11.2) × (5.0–) 5.1–6.2 (–6.6) µm, L' = 9.3, W' = 5.7; "
            "Q = 1.60–1.67 (–1.70), Q' = 1.64");
}

TEST(BracketNotation, DropsAnEndThatEqualsItsPercentileAsPrinted) {
  // Of 30 spores the 5th percentile lies 1.45 steps from the smallest: between the second and the third.
  std::vector<Spore> spores;
  for (int i = 0; i < 30; ++i) spores.push_back({i < 3 ? 8.0 : (i > 26 ? 10.0 : 9.0), 5.0, "", ""});
  EXPECT_EQ(bracket_notation(spore_statistics(spores)),
            "[30/1/1] 8.0–10.0 × 5.0–5.0 µm, L' = 9.0, W' = 5.0; Q = 1.60–2.00, Q' = 1.80");
  spores[0].length_um = 7.97;  // prints as 8.0
  spores[29].length_um = 10.3;
  EXPECT_THAT(bracket_notation(spore_statistics(spores)),
              testing::StartsWith("[30/1/1] 8.0–10.0 (–10.3) × "));
}

// A printed field report on Sidera vulgaris (check values, section 10): decimal commas, no dash in the
// brackets.
TEST(ParseNotation, APrintedReportWithDecimalCommas) {
  const PrintedSpores p = parse_notation(
      "(2,8) 3,3–3,9 (4,2) × (0,7) 0,9–1,3 (1,4) µm; Q = (2,6) 2,8–3,9 (4,5); N = 30; Me = 3,7 × 1,1 µm; Qe "
      "= 3,3");
  EXPECT_EQ(p.length_um.min, 2.8);
  EXPECT_EQ(p.length_um.usual_min, 3.3);
  EXPECT_EQ(p.length_um.usual_max, 3.9);
  EXPECT_EQ(p.length_um.max, 4.2);
  EXPECT_EQ(p.width_um.min, 0.7);
  EXPECT_EQ(p.width_um.usual_min, 0.9);
  EXPECT_EQ(p.width_um.usual_max, 1.3);
  EXPECT_EQ(p.width_um.max, 1.4);
  ASSERT_TRUE(p.q);
  EXPECT_EQ(p.q->min, 2.6);
  EXPECT_EQ(p.q->usual_min, 2.8);
  EXPECT_EQ(p.q->usual_max, 3.9);
  EXPECT_EQ(p.q->max, 4.5);
  EXPECT_EQ(p.spores, 30);
  EXPECT_EQ(p.bodies, std::nullopt);
  EXPECT_EQ(p.mean_length_um, 3.7);
  EXPECT_EQ(p.mean_width_um, 1.1);
  EXPECT_EQ(p.mean_q, 3.3);
  EXPECT_TRUE(p.left_out.empty());
  // 3.7 / 1.1 = 3.36, printed 3.3: the mean of the quotients is not the quotient of the means.
  EXPECT_GT(*p.mean_length_um / *p.mean_width_um, *p.mean_q);
}

TEST(ParseNotation, OtherSpellings) {
  for (const std::string text :
       {"10–14(–16) x 4–5(–6)", "10-14 (-16) X 4-5 (-6) um", "10—14(16)×4−5(6) μm, smooth."}) {
    const PrintedSpores p = parse_notation(text);
    EXPECT_EQ(p.length_um.min, std::nullopt) << text;
    EXPECT_EQ(p.length_um.usual_min, 10) << text;
    EXPECT_EQ(p.length_um.usual_max, 14) << text;
    EXPECT_EQ(p.length_um.max, 16) << text;
    EXPECT_EQ(p.width_um.usual_max, 5) << text;
    EXPECT_EQ(p.width_um.max, 6) << text;
  }
  EXPECT_THAT(parse_notation("10-14 x 4-5 um, smooth; N = 12.").left_out, ElementsAre("smooth"));
  EXPECT_EQ(parse_notation("10-14 x 4-5 um, smooth; N = 12.").spores, 12);
}

TEST(ParseNotation, RefusesWhatItWouldMisread) {
  for (const std::string text :
       {"", "nine by five", "10-14", "10 14 x 4-5", "14-10 x 4-5", "(12-) 10-14 x 4-5", "10-14 (-13) x 4-5",
        "0-14 x 4-5", "10-214 x 4-5", "10-14 x 4-5; Q = 3-2"}) {
    const Error error = caught([&] { parse_notation(text); });
    EXPECT_EQ(error.code(), ErrorCode::bad_value) << text;
    EXPECT_THAT(error.mend(), HasSubstr("For example")) << text;
  }
  EXPECT_EQ(caught([] { parse_notation(std::string(100000, '1')); }).code(), ErrorCode::bad_value);
}

species::Profile profile(const std::string& id, species::Group group,
                         std::optional<species::NumericRange> length,
                         std::optional<species::NumericRange> width) {
  species::Profile result;
  result.id = id;
  result.group = group;
  result.names = {{id, "", "accepted", 2000, "memory"}};
  if (length) result.characters["C32.length"].range = length;
  if (width) result.characters["C32.width"].range = width;
  return result;
}

TEST(SporeFit, IsTheShareOfTheSampleInsideTheUsualRange) {
  const Spread sample{.min = 7, .p5 = 8, .mean = 9, .sd = 1, .p95 = 10, .max = 12};
  const auto share = [&](double low, double high) {
    return measure_fit(sample, {low - 1, low, high, high + 1, "um"}).share;
  };
  EXPECT_DOUBLE_EQ(share(7, 11), 1);
  EXPECT_DOUBLE_EQ(share(9, 11), 0.5);
  EXPECT_DOUBLE_EQ(share(6, 8.5), 0.25);
  EXPECT_DOUBLE_EQ(share(8.5, 9), 0.25);
  EXPECT_DOUBLE_EQ(share(10.5, 12), 0);
  EXPECT_DOUBLE_EQ(measure_fit(sample, {6, 7, 11, 12, "um"}).common, 0.5);
  EXPECT_TRUE(measure_fit(sample, {9.5, 11, 12, 13, "um"}).touches)
      << "outside the usual range, inside min to max";
  EXPECT_FALSE(measure_fit(sample, {10.5, 11, 12, 13, "um"}).touches);
  const Spread point{.min = 9, .p5 = 9, .mean = 9, .sd = 0, .p95 = 9, .max = 9};
  EXPECT_DOUBLE_EQ(measure_fit(point, {7, 8, 10, 11, "um"}).share, 1);
  EXPECT_DOUBLE_EQ(measure_fit(point, {7, 10, 11, 12, "um"}).share, 0);
}

TEST(SporeFit, DangersAreHeldToTheWiderRangeAndNeverLost) {
  using species::Group;
  const species::NumericRange fits{8, 8.2, 10.5, 11, "um"}, near{8, 10.4, 12, 13, "um"},
      far{12, 13, 15, 16, "um"}, wide{3, 4, 7, 8, "um"};
  const SporeFits fit = spore_fits(
      spore_statistics(regression()),
      {profile("E01", Group::edible, fits, wide), profile("E02", Group::edible, near, wide),
       profile("E03", Group::edible, fits, std::nullopt), profile("O01", Group::conditional, fits, fits),
       profile("X01", Group::dangerous, near, wide), profile("X02", Group::dangerous, fits, wide),
       profile("X03", Group::dangerous, far, wide),
       profile("X04", Group::dangerous, std::nullopt, std::nullopt),
       profile("X05", Group::dangerous, std::nullopt, wide)});
  std::vector<std::string> dangers, names;
  for (const SporeFit& each : fit.dangers) dangers.push_back(each.id);
  for (const SporeFit& each : fit.names) names.push_back(each.id);
  EXPECT_THAT(dangers, ElementsAre("X02", "X05", "X01"));
  EXPECT_THAT(names, ElementsAre("E01"));
  EXPECT_THAT(fit.dangers_unknown, ElementsAre("X04"));
  EXPECT_DOUBLE_EQ(fit.dangers.back().share, 0);
  EXPECT_TRUE(fit.dangers.back().touches);
}

TEST(SporeFit, TheWorstMeasureDecides) {
  species::Profile p = profile("E01", species::Group::edible, species::NumericRange{8, 8, 11, 12, "um"},
                               species::NumericRange{5, 5.095, 5.6575, 7, "um"});
  const SporeStatistics sample = spore_statistics(regression());
  EXPECT_NEAR(spore_fit(sample, p).share, 0.5, 1e-9);
  p.characters["C32.q"].range = species::NumericRange{2, 2.2, 3, 3.4, "1"};
  const SporeFit fit = spore_fit(sample, p);
  EXPECT_EQ(fit.measures.size(), 3u);
  EXPECT_EQ(fit.share, 0);
  EXPECT_FALSE(fit.touches);
}

/// 10 to 60 spores with length >= width, one decimal as they are measured.
rc::Gen<std::vector<Spore>> any_spores() {
  return rc::gen::mapcat(rc::gen::inRange(10, 61), [](int n) {
    return rc::gen::container<std::vector<Spore>>(
        n,
        rc::gen::map(rc::gen::pair(rc::gen::inRange(20, 400), rc::gen::inRange(10, 300)),
                     [](const std::pair<int, int>& tenths) {
                       const auto [a, b] = tenths;
                       return Spore{std::max(a, b) / 10.0, std::min(a, b) / 10.0, std::to_string(a % 3), ""};
                     }));
  });
}

RC_GTEST_PROP(SporeProperty, TheOrderOfTheSporesDoesNotMatter, ()) {
  const auto spores = *any_spores();
  auto mixed = spores;
  std::shuffle(mixed.begin(), mixed.end(), std::mt19937(*rc::gen::arbitrary<unsigned>()));
  const SporeStatistics a = spore_statistics(spores), b = spore_statistics(mixed);
  expect_same(a.length_um, b.length_um);
  expect_same(a.width_um, b.width_um);
  expect_same(a.q, b.q);
  RC_ASSERT(bracket_notation(a) == bracket_notation(b));
}

RC_GTEST_PROP(SporeProperty, PercentilesAndMeanLieBetweenTheEnds, ()) {
  const SporeStatistics s = spore_statistics(*any_spores());
  for (const Spread& each : {s.length_um, s.width_um, s.q}) {
    RC_ASSERT(each.min <= each.p5);
    RC_ASSERT(each.p5 <= each.p95);
    RC_ASSERT(each.p95 <= each.max);
    RC_ASSERT(each.min <= each.mean && each.mean <= each.max);
    RC_ASSERT(each.sd >= 0 && each.sd <= (each.max - each.min));
  }
  RC_ASSERT(s.q.min >= 1);
}

RC_GTEST_PROP(SporeProperty, AScaleScalesSizesAndLeavesQ, ()) {
  auto spores = *any_spores();
  const SporeStatistics before = spore_statistics(spores);
  const double scale = *rc::gen::inRange(1, 500) / 100.0;
  for (Spore& spore : spores) spore.length_um *= scale, spore.width_um *= scale;
  const SporeStatistics after = spore_statistics(spores);
  const auto near = [](double a, double b) { return std::abs(a - b) <= 1e-9 * (1 + std::abs(b)); };
  for (const auto& [a, b] :
       {std::pair{after.length_um, before.length_um}, {after.width_um, before.width_um}}) {
    RC_ASSERT(near(a.min, scale * b.min) && near(a.p5, scale * b.p5) && near(a.mean, scale * b.mean));
    RC_ASSERT(near(a.sd, scale * b.sd) && near(a.p95, scale * b.p95) && near(a.max, scale * b.max));
  }
  RC_ASSERT(near(after.q.p5, before.q.p5) && near(after.q.mean, before.q.mean) &&
            near(after.q.p95, before.q.p95));
}

RC_GTEST_PROP(SporeProperty, TheNotationIsReadBackAsPrinted, ()) {
  const SporeStatistics s = spore_statistics(*any_spores());
  const PrintedSpores p = parse_notation(bracket_notation(s));
  RC_ASSERT(p.spores == s.spores);
  RC_ASSERT(p.bodies == static_cast<int>(s.bodies.size()));
  RC_ASSERT(p.left_out.empty());
  const auto printed = [](double value, int digits) {
    return std::stod(fmt::format("{:.{}f}", value, digits));
  };
  RC_ASSERT(p.length_um.usual_min == printed(s.length_um.p5, 1));
  RC_ASSERT(p.length_um.max.value_or(p.length_um.usual_max) == printed(s.length_um.max, 1));
  RC_ASSERT(p.width_um.min.value_or(p.width_um.usual_min) == printed(s.width_um.min, 1));
  RC_ASSERT(p.q->usual_max == printed(s.q.p95, 2));
  RC_ASSERT(p.mean_q == printed(s.q.mean, 2));
}

}  // namespace
}  // namespace stumpwise::key
