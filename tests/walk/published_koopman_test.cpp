// Random search against published numbers: check-values T13, 7.1 to 7.3.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/walk/route.h"

namespace stumpwise::walk {
namespace {

// Published, see check-values T13: Koopman 1946/1980; texts on land search give 0.86 at coverage 2.
TEST(PublishedKoopman, DetectionByCoverage) {
  EXPECT_NEAR(probability_of_detection(0.5), 0.39347, 1e-5);
  EXPECT_NEAR(probability_of_detection(1), 0.63212, 1e-5);
  EXPECT_NEAR(probability_of_detection(2), 0.86466, 1e-5);
  EXPECT_NEAR(probability_of_detection(3), 0.95021, 1e-5);
}

// Published formula, numbers recomputed from it, see check-values 7.1.
TEST(PublishedKoopman, DetectionTable) {
  const double table[][2] = {{0.25, 0.221199}, {0.5, 0.393469}, {1, 0.632121},
                             {1.5, 0.776870},  {2, 0.864665},   {3, 0.950213}};
  for (const auto& [coverage, detected] : table)
    EXPECT_NEAR(probability_of_detection(coverage), detected, 1e-6);
}

// Check-values 7.2: effort that is split finds the same.
RC_GTEST_PROP(PublishedKoopman, SplittingEffortChangesNothing, ()) {
  const double coverage = *rc::gen::inRange(0, 8000) / 1000.0;
  const double part = *rc::gen::inRange(0, 1001) / 1000.0;
  const double missed =
      (1 - probability_of_detection(coverage * part)) * (1 - probability_of_detection(coverage * (1 - part)));
  RC_ASSERT(std::abs(1 - missed - probability_of_detection(coverage)) < 1e-12);
}

// Check-values 7.3: 2000 m with a sweep width of 10 m in 40 000 square metres is coverage 0.5.
TEST(PublishedKoopman, CoverageIsSweptAreaOverArea) {
  EXPECT_NEAR(expected_finds(1, 10, 2000, 40'000), 0.393469, 1e-6);
  EXPECT_NEAR(expected_finds(7, 10, 2000, 40'000), 7 * 0.393469, 1e-5);
}

TEST(Koopman, RefusesWhatCannotBe) {
  EXPECT_THROW(probability_of_detection(-0.1), Error);
  EXPECT_THROW(expected_finds(-1, 6, 10, 100), Error);
  EXPECT_THROW(expected_finds(1, 6, 10, 0), Error);
  EXPECT_THROW(rate_to_come(1, 0, 0, 0, 6, 100), Error);
  EXPECT_THROW(rate_to_come(1, 1, 0, -1, 6, 100), Error);
}

// At first the rate is N W / A; what was found says that there is more.
TEST(RateToCome, BeginsAtTheMeanAndRisesWithFinds) {
  EXPECT_NEAR(rate_to_come(4, 2, 0, 0, 6, 8100), 4 * 6 / 8100.0, 1e-15);
  EXPECT_GT(rate_to_come(4, 2, 0.5, 1, 6, 8100), rate_to_come(4, 2, 0.5, 0, 6, 8100));
  EXPECT_LT(rate_to_come(4, 2, 0.5, 0, 6, 8100), rate_to_come(4, 2, 0, 0, 6, 8100));
  EXPECT_EQ(rate_to_come(0, 2, 0.5, 0, 6, 8100), 0);
}

// Independent derivation: gamma prior with shape r and rate r / N, Poisson finds with exposure 1 - exp(-C),
// by summing over a fine grid of contents.
TEST(RateToCome, IsThePosteriorMeanOfWhatIsLeft) {
  const double n_mean = 3, r = 1.7, coverage = 0.8, width = 6, area = 8100;
  const int found = 2;
  const double seen = 1 - std::exp(-coverage);
  double weight_sum = 0, content_sum = 0;
  for (double content = 0.0005; content < 80; content += 0.001) {
    const double weight = std::pow(content, r - 1) * std::exp(-content * r / n_mean) *
                          std::pow(content * seen, found) * std::exp(-content * seen);
    weight_sum += weight;
    content_sum += weight * content;
  }
  const double expected = content_sum / weight_sum * std::exp(-coverage) * width / area;
  EXPECT_NEAR(rate_to_come(n_mean, r, coverage, found, width, area), expected, 1e-6 * expected);
}

RC_GTEST_PROP(LeaveAfter, IsWhereTheRateToComeMeetsTheAverage, ()) {
  const double n_mean = *rc::gen::inRange(1, 500) / 50.0, r = *rc::gen::inRange(2, 50) / 10.0;
  const double per_min = *rc::gen::inRange(1, 100) / 1000.0, average = *rc::gen::inRange(1, 300) / 1000.0;
  const int found = *rc::gen::inRange(0, 3);
  const double minutes = leave_after_min(n_mean, r, found, per_min, average);
  // With area 1, W is the share swept a metre; a metre a minute makes rates a minute.
  const double rate = rate_to_come(n_mean, r, per_min * minutes, found, per_min, 1);
  if (minutes > 0)
    RC_ASSERT(std::abs(rate - average) < 1e-9);
  else
    RC_ASSERT(rate <= average + 1e-12);
  RC_ASSERT(leave_after_min(n_mean, r, found + 1, per_min, average) >= minutes);
}

}  // namespace
}  // namespace stumpwise::walk
