#include "stumpwise/stat/counts.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <sstream>

#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/random.h"

namespace stumpwise::stat {
namespace {

TEST(Counts, PoissonByHand) {
  EXPECT_NEAR(poisson_log_pmf(0, 2.5), -2.5, 1e-14);
  EXPECT_NEAR(std::exp(poisson_log_pmf(3, 2.0)), 8.0 / 6 * std::exp(-2.0), 1e-14);
  EXPECT_EQ(poisson_log_pmf(0, 0), 0);
  EXPECT_EQ(poisson_log_pmf(1, 0), -INFINITY);
}

TEST(Counts, NegativeBinomialIsGeometricAtSizeOne) {
  // r = 1, mean m: p = 1 / (1 + m), P(y) = p (1 - p)^y.
  const double m = 3, p = 1 / (1 + m);
  for (int y = 0; y < 6; ++y)
    EXPECT_NEAR(std::exp(negative_binomial_log_pmf(y, m, 1)), p * std::pow(1 - p, y), 1e-13);
}

TEST(Counts, NegativeBinomialSumsToOneWithItsMeanAndVariance) {
  for (const double r : {0.3, 1.0, 7.5}) {
    const double mean = 4;
    double sum = 0, first = 0, second = 0;
    for (int y = 0; y < 3000; ++y) {
      const double p = std::exp(negative_binomial_log_pmf(y, mean, r));
      sum += p;
      first += y * p;
      second += double(y) * y * p;
    }
    EXPECT_NEAR(sum, 1, 1e-9) << r;
    EXPECT_NEAR(first, mean, 1e-7) << r;
    EXPECT_NEAR(second - first * first, mean + mean * mean / r, 1e-4) << r;
  }
}

TEST(Counts, NegativeBinomialTendsToPoisson) {
  EXPECT_NEAR(negative_binomial_log_pmf(7, 5, 1e7), poisson_log_pmf(7, 5), 1e-5);
}

TEST(Counts, ImpossibleArgumentsAreRefused) {
  EXPECT_THROW(poisson_log_pmf(-1, 1), Error);
  EXPECT_THROW(negative_binomial_log_pmf(1, 1, 0), Error);
  EXPECT_THROW(poisson_interval(3, 0, 0.95), Error);
  EXPECT_THROW(poisson_interval(3, 1, 1), Error);
}

// the-job.md H12: 9 finds in 31.5 h, 0.286 per hour, exact 95 % interval 0.131 to 0.542 (Garwood 1936).
TEST(PoissonInterval, NineFindsIn31Hours) {
  const Interval rate = poisson_interval(9, 31.5, 0.95);
  EXPECT_NEAR(9 / 31.5, 0.286, 0.0005);
  EXPECT_NEAR(rate.low, 0.131, 0.0005);
  EXPECT_NEAR(rate.high, 0.542, 0.0005);
}

// By hand: nothing in exposure 1 leaves rates up to -ln(0.025) = 3.688879 (95 %, two-sided).
TEST(PoissonInterval, NoEvents) {
  const Interval rate = poisson_interval(0, 1, 0.95);
  EXPECT_EQ(rate.low, 0);
  EXPECT_NEAR(rate.high, -std::log(0.025), 1e-10);
}

RC_GTEST_PROP(PoissonInterval, TailsHoldTheirShare, ()) {
  const int count = *rc::gen::inRange(0, 60);
  const Interval rate = poisson_interval(count, 1, 0.9);
  double below = 0;  // P(Y <= count | high) = 0.05
  for (int y = 0; y <= count; ++y) below += std::exp(poisson_log_pmf(y, rate.high));
  RC_ASSERT(std::abs(below - 0.05) < 1e-9);
  double above = 1;  // P(Y >= count | low) = 0.05
  for (int y = 0; y < count; ++y) above -= std::exp(poisson_log_pmf(y, rate.low));
  if (count > 0) RC_ASSERT(std::abs(above - 0.05) < 1e-9);
}

// check-values.md 14.7 (recomputed there in R): forecasts .8 .3 .6 .9, outcomes 1 0 1 0.
TEST(Scores, FourForecasts) {
  EXPECT_NEAR(brier_score({.8, .3, .6, .9}, {1, 0, 1, 0}), 0.275, 1e-12);
  EXPECT_NEAR(log_loss({.8, .3, .6, .9}, {1, 0, 1, 0}), 0.848307, 1e-6);
}

// the-job.md H12: Brier 0.172, skill 0.31 against constant 0.5.
TEST(Scores, HonestSeasonReview) {
  const std::vector<int> outcomes{1, 0, 0, 1, 1, 0};
  const double score = brier_score({.7, .6, .2, .8, .3, .1}, outcomes);
  EXPECT_NEAR(score, 0.172, 0.0005);
  EXPECT_NEAR(skill(score, brier_score(std::vector<double>(6, 0.5), outcomes)), 0.31, 0.005);
}

TEST(Scores, CertainAndWrongIsInfinite) {
  EXPECT_EQ(log_loss({1.0}, {1}), 0);
  EXPECT_EQ(log_loss({1.0}, {0}), INFINITY);
  EXPECT_THROW(brier_score({}, {}), Error);
  EXPECT_THROW(log_loss({1.2}, {1}), Error);
}

// check-values.md T18: Dobson 1990, p. 93 (memory of print; recomputed in R).
TEST(PoissonGlm, DobsonsTrial) {
  const std::vector<int> counts{18, 17, 15, 20, 10, 20, 25, 13, 12};
  Eigen::MatrixXd design = Eigen::MatrixXd::Zero(9, 5);
  Eigen::VectorXd y(9);
  for (int i = 0; i < 9; ++i) {
    y[i] = counts[static_cast<std::size_t>(i)];
    design(i, 0) = 1;
    if (i % 3 > 0) design(i, i % 3) = 1;
    if (i / 3 > 0) design(i, 2 + i / 3) = 1;
  }
  const GlmFit fit = poisson_glm(design, y);
  EXPECT_TRUE(fit.converged);
  const double coefficients[] = {3.044522, -0.454255, -0.292987, 0, 0};
  const double errors[] = {0.170899, 0.202171, 0.192742};
  for (int i = 0; i < 5; ++i) EXPECT_NEAR(fit.coefficients[i], coefficients[i], 1e-5) << i;
  for (int i = 0; i < 3; ++i) EXPECT_NEAR(fit.standard_errors[i], errors[i], 1e-5) << i;
  EXPECT_NEAR(fit.deviance, 5.129141, 1e-5);
  EXPECT_NEAR(fit.aic, 56.76132, 1e-5);
}

TEST(PoissonGlm, OffsetIsTheLogOfTheExposure) {
  // By hand: 12 events in exposure 8 is a rate of 1.5 however it is cut.
  const GlmFit fit = poisson_glm(Eigen::MatrixXd::Ones(3, 1), Eigen::Vector3d(2, 4, 6),
                                 Eigen::Vector3d(1, 3, 4).array().log().matrix());
  EXPECT_NEAR(fit.coefficients[0], std::log(1.5), 1e-8);
}

TEST(PoissonGlm, DependentColumnsDoNotPass) {
  const GlmFit fit = poisson_glm(Eigen::MatrixXd::Ones(4, 2), Eigen::Vector4d(1, 2, 3, 4));
  EXPECT_FALSE(fit.converged);
}

/// Values of an ESRI ASCII grid of 201 x 101, first row north.
std::vector<double> read_ascii_grid(const std::filesystem::path& path) {
  std::istringstream in(base::read_file(path));
  std::string word;
  for (int i = 0; i < 12; ++i) in >> word;
  std::vector<double> values;
  for (double v; in >> v;) values.push_back(v);
  return values;
}

std::filesystem::path shared_file(const std::string& name) {
  namespace fs = std::filesystem;
  const char* given = std::getenv("STUMPWISE_SHARED");
  const fs::path base = given ? fs::path(given) : fs::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
  return fs::exists(base / "data") ? base / "data" / name : base / name;
}

// check-values.md 8.4 (recomputed in R): 3604 trees on the 5 m grid, cells at the edge half or a quarter
// inside.
TEST(PoissonGlm, TreesOnElevationAndSlope) {
  const auto folder = shared_file("bei");
  if (!std::filesystem::exists(folder / "elev.asc")) GTEST_SKIP() << "data/bei is not here";
  const auto elevation = read_ascii_grid(folder / "elev.asc"),
             gradient = read_ascii_grid(folder / "grad.asc");
  const int cols = 201, rows = 101, n = cols * rows;
  ASSERT_EQ(elevation.size(), std::size_t(n));
  Eigen::MatrixXd design(n, 3);
  Eigen::VectorXd counts = Eigen::VectorXd::Zero(n), offset(n);
  for (int row = 0; row < rows; ++row) {
    for (int col = 0; col < cols; ++col) {
      const int i = row * cols + col;
      design.row(i) << 1, elevation[std::size_t(i)], gradient[std::size_t(i)];
      offset[i] = std::log(25.0 * (col % (cols - 1) ? 1 : 0.5) * (row % (rows - 1) ? 1 : 0.5));
    }
  }
  std::istringstream points(base::read_file(folder / "bei-points.csv"));
  std::string line;
  std::getline(points, line);
  while (std::getline(points, line)) {
    const double x = std::stod(line), y = std::stod(line.substr(line.find(',') + 1));
    // Halves to the even number, as the reference fits did (data/bei/README.md).
    counts[(rows - 1 - static_cast<int>(std::nearbyint(y / 5))) * cols +
           static_cast<int>(std::nearbyint(x / 5))] += 1;
  }
  const GlmFit fit = poisson_glm(design, counts, offset);
  EXPECT_TRUE(fit.converged);
  const double coefficients[] = {-8.56870951, 0.02147268, 5.85200378};
  const double errors[] = {0.34122, 0.0022887, 0.25580};
  for (int i = 0; i < 3; ++i) {
    EXPECT_NEAR(fit.coefficients[i], coefficients[i], 1e-5) << i;
    EXPECT_NEAR(fit.standard_errors[i], errors[i], 1e-5) << i;
  }
  EXPECT_NEAR((design * fit.coefficients + offset).array().exp().sum(), 3604, 1e-4);
}

}  // namespace
}  // namespace stumpwise::stat
