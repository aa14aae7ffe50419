#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <chrono>
#include <cmath>

#include "scene.h"
#include "stumpwise/base/error.h"
#include "stumpwise/stat/counts.h"

namespace stumpwise::learn {
namespace {

using namespace testing_scene;

constexpr int kG = kTheta - 1;

TEST(Likelihood, OneCellIsNegativeBinomial) {
  base::Random random(1);
  OutingData outing = empty_outing(random, 1);
  outing.cells[0].exposure_ha = 2;
  const Theta theta = wide_prior().mean;
  const double h =
      theta[0] + outing.cells[0].z.dot(theta.segment<kCovariates>(1)) + theta[kG] * outing.log_index[0];
  for (const int y : {0, 1, 7, 40}) {
    outing.cells[0].finds = y;
    EXPECT_NEAR(outing_log_likelihood(outing, theta, 0.7),
                stat::negative_binomial_log_pmf(y, 2 * std::exp(h), 0.7), 1e-10);
  }
  outing.cells[0].finds = 0;
  outing.unplaced_finds = 5;  // no place, but there is only one
  EXPECT_NEAR(outing_log_likelihood(outing, theta, 0.7),
              stat::negative_binomial_log_pmf(5, 2 * std::exp(h), 0.7), 1e-10);
}

TEST(Likelihood, SumsToOneOverAllCounts) {
  base::Random random(2);
  OutingData outing = empty_outing(random, 2);
  Theta theta = Theta::Zero();
  theta[0] = 0.7, theta[kG] = 0.5, theta[1] = 0.5;
  double sum = 0;
  for (int a = 0; a < 120; ++a)
    for (int b = 0; b < 120; ++b) {
      outing.cells[0].finds = a;
      outing.cells[1].finds = b;
      sum += std::exp(outing_log_likelihood(outing, theta, 1.5));
    }
  EXPECT_NEAR(sum, 1, 1e-8);
}

TEST(Likelihood, UnplacedFindsAreTheSumOverTheirPlaces) {
  base::Random random(3);
  OutingData outing = empty_outing(random, 3);
  const Theta theta = draw(wide_prior(), random);
  // One find without a place: P = sum over cells of P(it is there).
  double sum = 0;
  for (int c = 0; c < 3; ++c) {
    OutingData placed = outing;
    placed.cells[static_cast<std::size_t>(c)].finds = 1;
    sum += std::exp(outing_log_likelihood(placed, theta, 0.7));
  }
  outing.unplaced_finds = 1;
  EXPECT_NEAR(outing_log_likelihood(outing, theta, 0.7), std::log(sum), 1e-10);
}

RC_GTEST_PROP(Likelihood, GradientAndInformationAreItsDerivatives, ()) {
  base::Random random(*rc::gen::arbitrary<std::uint64_t>());
  const Theta theta = draw(wide_prior(), random);
  OutingData outing = empty_outing(random, 6);
  const double r = random.uniform(0.3, 3);
  const bool unplaced = random.chance(0.5);
  simulate(outing, theta, r, random, unplaced ? 0.4 : 0);
  const Curvature here = outing_curvature(outing, theta, r);
  RC_ASSERT(std::abs(here.value - outing_log_likelihood(outing, theta, r)) < 1e-9);
  const double step = 1e-5, size = 1 + outing.total();
  for (int i = 0; i < kTheta; ++i) {
    Theta up = theta, down = theta;
    up[i] += step;
    down[i] -= step;
    const double slope =
        (outing_log_likelihood(outing, up, r) - outing_log_likelihood(outing, down, r)) / (2 * step);
    RC_ASSERT(std::abs(slope - here.gradient[i]) < 1e-5 * size);
    if (outing.unplaced_finds > 0) continue;  // Fisher scoring there: not the derivative
    const Theta bend =
        (outing_curvature(outing, up, r).gradient - outing_curvature(outing, down, r).gradient) / (2 * step);
    RC_ASSERT((bend + here.information.col(i)).cwiseAbs().maxCoeff() < 1e-4 * size);
  }
  const Eigen::SelfAdjointEigenSolver<ground::ThetaMatrix> eigen(here.information);
  RC_ASSERT(eigen.eigenvalues().minCoeff() > -1e-8 * size);  // concave
}

TEST(Likelihood, HugeCountsAndExtremeCoefficientsStayFinite) {
  base::Random random(4);
  OutingData outing = empty_outing(random, 4);
  outing.cells[1].finds = 2'000'000;
  outing.unplaced_finds = 500'000;
  for (const double a : {-800.0, -50.0, 0.0, 50.0, 800.0}) {
    Theta theta = Theta::Zero();
    theta[0] = a;
    const Curvature here = outing_curvature(outing, theta, 0.5);
    EXPECT_TRUE(std::isfinite(here.value) && here.gradient.allFinite() && here.information.allFinite()) << a;
  }
  outing.unplaced_finds = 0;
  const LearnResult result = fit({outing}, wide_prior(), 0.5);
  EXPECT_TRUE(result.converged);
  EXPECT_TRUE(result.coefficients.mean.allFinite() && std::isfinite(result.log_evidence));
}

TEST(Likelihood, FaultyDataAreRefused) {
  base::Random random(5);
  OutingData outing = empty_outing(random, 2);
  EXPECT_THROW(outing_log_likelihood(outing, Theta::Zero(), 0), Error);
  outing.log_index.pop_back();
  EXPECT_THROW(fit({outing}, wide_prior(), 1), Error);
  outing = empty_outing(random, 2);
  outing.cells[0].exposure_ha = 0;
  EXPECT_THROW(outing_log_likelihood(outing, Theta::Zero(), 1), Error);
}

TEST(Fit, NoOutingsGiveThePriorExactly) {
  const ground::Coefficients prior = wide_prior();
  OutingData nowhere;  // an outing off the ground
  nowhere.unplaced_finds = 3;
  for (const auto& outings : {std::vector<OutingData>{}, std::vector<OutingData>{nowhere}}) {
    const LearnResult result = fit(outings, prior, 0.7);
    EXPECT_EQ(result.coefficients.mean, prior.mean);
    EXPECT_EQ(result.coefficients.covariance, prior.covariance);
    EXPECT_EQ(result.log_evidence, 0);
    EXPECT_FALSE(result.coefficients.learned);
    EXPECT_EQ(result.gain.precision, ground::ThetaMatrix::Zero());
    EXPECT_TRUE(result.converged);
  }
}

TEST(Fit, BlankOutingsLowerTheLevel) {
  base::Random random(6);
  const ground::Coefficients prior = wide_prior();
  std::vector<OutingData> blanks;
  double last = prior.mean[0];
  for (int i = 0; i < 4; ++i) {
    OutingData blank = empty_outing(random, 10);
    blank.log_index.assign(10, std::log(0.8));
    blanks.push_back(blank);
    const LearnResult result = fit(blanks, prior, 0.7);
    EXPECT_LT(result.coefficients.mean[0], last - 0.02) << i;
    EXPECT_LT(result.coefficients.covariance(0, 0), prior.covariance(0, 0));
    EXPECT_EQ(result.coefficients.outings, i + 1);
    last = result.coefficients.mean[0];
  }
}

// the-job.md H9: blanks on days when nothing could be up teach almost nothing.
TEST(Fit, WinterBlanksTeachAlmostNothing) {
  base::Random random(7);
  const ground::Coefficients prior = wide_prior();
  std::vector<OutingData> good, winter;
  for (int i = 0; i < 3; ++i) {
    good.push_back(empty_outing(random, 10));
    winter.push_back(good.back());
    good.back().log_index.assign(10, std::log(0.6));
    winter.back().log_index.assign(10, std::log(0.001));
  }
  const double from_good = prior.mean[0] - fit(good, prior, 0.7).coefficients.mean[0];
  const double from_winter = prior.mean[0] - fit(winter, prior, 0.7).coefficients.mean[0];
  EXPECT_GT(from_good, 0.3);
  EXPECT_LT(from_winter, from_good / 10);
}

TEST(Fit, FindsWhereTheHostsAreRaiseTheHostCoefficient) {
  base::Random random(8);
  std::vector<OutingData> with, against;
  for (int i = 0; i < 6; ++i) {
    OutingData outing = empty_outing(random, 10);
    for (std::size_t c = 0; c < 10; ++c) outing.cells[c].z[0] = c < 5 ? 1.2 : -1.2;
    with.push_back(outing);
    against.push_back(outing);
    with.back().cells[1].finds = 2;
    against.back().cells[8].finds = 2;
  }
  EXPECT_GT(fit(with, wide_prior(), 1).coefficients.mean[1],
            fit(against, wide_prior(), 1).coefficients.mean[1] + 0.5);
}

TEST(Fit, GradientVanishesAtTheModeAndThePosteriorIsThePriorPlusTheGain) {
  base::Random random(9);
  const ground::Coefficients prior = wide_prior();
  for (const double unplaced : {0.0, 0.5, 1.0}) {
    const auto outings = simulated(draw(prior, random), 0.7, 30, random, unplaced);
    const LearnResult result = fit(outings, prior, 0.7);
    ASSERT_TRUE(result.converged) << unplaced;
    const ground::ThetaMatrix precision = prior.covariance.inverse();
    Theta gradient = -precision * (result.coefficients.mean - prior.mean);
    for (const OutingData& outing : outings)
      gradient += outing_curvature(outing, result.coefficients.mean, 0.7).gradient;
    EXPECT_LT(gradient.cwiseAbs().maxCoeff(), 2e-3) << unplaced;
    // Lessons: prior plus gain is the posterior again.
    const ground::ThetaMatrix together = precision + result.gain.precision;
    EXPECT_TRUE(together.inverse().isApprox(result.coefficients.covariance, 1e-8));
    ASSERT_GT(result.coefficients.mean[kG], 0);  // not at the bound, where the normal's mean lies beyond it
    const Theta again = together.inverse() * (precision * prior.mean + result.gain.precision_mean);
    EXPECT_TRUE(again.isApprox(result.coefficients.mean, 1e-8));
  }
}

// A better day never means fewer finds: finds only on the days of low index push g to its bound, not below.
TEST(Fit, TheIndexNeverCountsAgainst) {
  base::Random random(10);
  std::vector<OutingData> outings;
  for (int i = 0; i < 40; ++i) {
    OutingData outing = empty_outing(random, 8);
    const bool good = i % 2 == 0;
    outing.log_index.assign(8, std::log(good ? 0.9 : 0.01));
    if (!good)
      for (ExposedCell& cell : outing.cells) cell.finds = 2;
    outings.push_back(outing);
  }
  const LearnResult result = fit(outings, wide_prior(), 2);
  EXPECT_TRUE(result.converged);
  EXPECT_EQ(result.coefficients.mean[kG], 0);
  EXPECT_TRUE(std::isfinite(result.log_evidence));
  EXPECT_GT(result.coefficients.covariance.diagonal().minCoeff(), 0);
}

// Theta drawn from the prior, data from the model: 90 % intervals must hold 90 % of the coefficients
// (calibration of the Laplace posterior; 50 worlds, 12 coefficients each).
TEST(Fit, IntervalsCoverWhatTheySay) {
  const ground::Coefficients prior = wide_prior();
  int inside = 0, all = 0, narrower = 0;
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    base::Random random(seed);
    const Theta truth = draw(prior, random);
    const LearnResult result = fit(simulated(truth, 0.8, 40, random, seed % 2 ? 0.3 : 0.0), prior, 0.8);
    ASSERT_TRUE(result.converged) << seed;
    for (int i = 0; i < kTheta; ++i) {
      const double sd = std::sqrt(result.coefficients.covariance(i, i));
      ++all;
      inside += std::abs(truth[i] - result.coefficients.mean[i]) < 1.6448536 * sd;
      narrower += sd < 0.7 * std::sqrt(prior.covariance(i, i));
    }
  }
  RecordProperty("inside", inside);
  RecordProperty("of", all);
  EXPECT_NEAR(static_cast<double>(inside) / all, 0.90, 0.05);
  EXPECT_GT(narrower, all / 2);  // and not because nothing was learned
}

// Log evidence against plain integration over two coefficients, all others nailed down by the prior.
TEST(Fit, LogEvidenceIsTheIntegral) {
  base::Random random(11);
  ground::Coefficients prior = wide_prior();
  for (int i = 1; i < kTheta; ++i) prior.covariance(i, i) = 1e-10;
  prior.covariance(kG, kG) = 0.09;
  const std::vector<OutingData> outings = simulated(prior.mean, 2, 25, random);
  double sum = 0;
  const double step = 0.02;
  for (double a = -5; a < 6; a += step)
    for (double g = step / 2; g < 3; g += step) {
      Theta theta = prior.mean;
      theta[0] = a;
      theta[kG] = g;
      const double za = a - prior.mean[0], zg = (g - 1) / 0.3;
      double log_density = -0.5 * (za * za + zg * zg) - std::log(2 * M_PI * 0.3) -
                           std::log(0.5 * std::erfc(-1 / 0.3 / std::sqrt(2.0)));
      for (const OutingData& outing : outings) log_density += outing_log_likelihood(outing, theta, 2);
      sum += std::exp(log_density) * step * step;
    }
  EXPECT_NEAR(fit(outings, prior, 2).log_evidence, std::log(sum), 0.03);
}

TEST(FitCandidates, TheTrueVariantWins) {
  base::Random random(12);
  const ground::Coefficients prior = wide_prior();
  Theta truth = prior.mean;
  std::vector<CandidateData> candidates{{{-10, 0, 1}, {}, 0}, {{0, 0, 1}, {}, 0}, {{10, 0, 1}, {}, 0}};
  for (int i = 0; i < 60; ++i) {
    const double index[3] = {random.uniform(0.01, 1), random.uniform(0.01, 1), random.uniform(0.01, 1)};
    OutingData outing = empty_outing(random, 10);
    outing.log_index.assign(10, std::log(index[2]));
    simulate(outing, truth, 1, random);
    for (std::size_t k = 0; k < 3; ++k) {
      candidates[k].outings.push_back(outing);
      candidates[k].outings.back().log_index.assign(10, std::log(index[k]));
    }
  }
  const CandidateFit result = fit_candidates(candidates, prior, 1, 2);
  EXPECT_EQ(result.best, 2u);
  EXPECT_EQ(result.candidates[2].variant.season_shift_days, 10);
  EXPECT_GT(result.candidates[2].weight, 0.95);
  double sum = 0;
  for (const Candidate& each : result.candidates) sum += each.weight;
  EXPECT_NEAR(sum, 1, 1e-12);
  EXPECT_TRUE(result.mixture.mean.isApprox(result.candidates[2].result.coefficients.mean, 0.1));
}

TEST(FitCandidates, WithoutOutingsThePriorWeightsStand) {
  const CandidateFit result =
      fit_candidates({{{0, 0, 1}, {}, std::log(0.75)}, {{10, 0, 1}, {}, std::log(0.25)}}, wide_prior(), 1);
  EXPECT_NEAR(result.candidates[0].weight, 0.75, 1e-12);
  EXPECT_TRUE(result.mixture.mean.isApprox(wide_prior().mean, 1e-14));
  EXPECT_THROW(fit_candidates({}, wide_prior(), 1), Error);
}

TEST(FitCandidates, TwoEqualOnesWidenNothing) {
  base::Random random(13);
  const auto outings = simulated(wide_prior().mean, 1, 20, random);
  const CandidateFit result = fit_candidates({{{}, outings, 0}, {{5, 0, 1}, outings, 0}}, wide_prior(), 1);
  EXPECT_NEAR(result.candidates[0].weight, 0.5, 1e-12);
  EXPECT_TRUE(result.mixture.covariance.isApprox(result.candidates[0].result.coefficients.covariance, 1e-12));
}

}  // namespace
}  // namespace stumpwise::learn
