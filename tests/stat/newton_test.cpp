#include "stumpwise/stat/newton.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>

#include "stumpwise/base/error.h"
#include "stumpwise/base/random.h"

namespace stumpwise::stat {
namespace {

constexpr double kFree = -std::numeric_limits<double>::infinity();

/// -(x - m)' P (x - m) / 2: the maximum is known.
auto quadratic(const Eigen::VectorXd& mean, const Eigen::MatrixXd& precision) {
  return [=](const Eigen::VectorXd& x) {
    const Eigen::VectorXd gradient = precision * (mean - x);
    return Objective{-0.5 * (x - mean).dot(precision * (x - mean)), gradient, precision};
  };
}

TEST(Newton, QuadraticInOneStep) {
  const Eigen::MatrixXd p = Eigen::Matrix2d{{2, 0.5}, {0.5, 1}};
  const NewtonResult found = maximise(quadratic(Eigen::Vector2d(3, -4), p), Eigen::Vector2d::Zero());
  EXPECT_TRUE(found.converged);
  EXPECT_EQ(found.iterations, 1);
  EXPECT_TRUE(found.mode.isApprox(Eigen::Vector2d(3, -4), 1e-12));
}

// By hand: with x0 held at 0, the best x1 of P = [[2 .5][.5 1]] and m = (-3, 1) solves
// .5 (-3 - 0) + 1 (1 - x1) = 0, x1 = -0.5.
TEST(Newton, BoundHoldsAndTheRestIsSolvedAgain) {
  const Eigen::MatrixXd p = Eigen::Matrix2d{{2, 0.5}, {0.5, 1}};
  const NewtonResult found =
      maximise(quadratic(Eigen::Vector2d(-3, 1), p), Eigen::Vector2d(1, 1), Eigen::Vector2d(0, kFree));
  EXPECT_TRUE(found.converged);
  EXPECT_EQ(found.mode[0], 0);
  EXPECT_NEAR(found.mode[1], -0.5, 1e-12);
  EXPECT_LT(found.gradient[0], 0);
}

TEST(Newton, LeavesABoundWhenTheGradientSaysSo) {
  const Eigen::MatrixXd p = Eigen::MatrixXd::Identity(2, 2);
  const NewtonResult found =
      maximise(quadratic(Eigen::Vector2d(2, 5), p), Eigen::Vector2d(0, 0), Eigen::Vector2d(0, 0));
  EXPECT_TRUE(found.mode.isApprox(Eigen::Vector2d(2, 5), 1e-12));
}

// -log cosh(x): from 3 the raw Newton step goes to about -98, further out than it began.
TEST(Newton, LineSearchTamesAnOvershootingStep) {
  auto log_cosh = [](const Eigen::VectorXd& x) {
    const double t = std::tanh(x[0]);
    return Objective{-std::log(std::cosh(x[0])), Eigen::VectorXd::Constant(1, -t),
                     Eigen::MatrixXd::Constant(1, 1, 1 - t * t)};
  };
  const NewtonResult found = maximise(log_cosh, Eigen::VectorXd::Constant(1, 3.0));
  EXPECT_TRUE(found.converged);
  EXPECT_NEAR(found.mode[0], 0, 1e-4);
}

TEST(Newton, IndefiniteInformationIsRaised) {
  // -(x^2 - 1)^2 is convex near 0: the raw Newton step would go the wrong way.
  auto hat = [](const Eigen::VectorXd& x) {
    const double s = x[0] * x[0] - 1;
    return Objective{-s * s, Eigen::VectorXd::Constant(1, -4 * x[0] * s),
                     Eigen::MatrixXd::Constant(1, 1, 12 * x[0] * x[0] - 4)};
  };
  const NewtonResult found = maximise(hat, Eigen::VectorXd::Constant(1, 0.1));
  EXPECT_TRUE(found.converged);
  EXPECT_NEAR(found.mode[0], 1, 1e-5);
}

TEST(Newton, RefusesAStartWithoutValue) {
  auto none = [](const Eigen::VectorXd& x) {
    return Objective{std::nan(""), x, Eigen::MatrixXd::Identity(1, 1)};
  };
  EXPECT_THROW(maximise(none, Eigen::VectorXd::Zero(1)), Error);
}

RC_GTEST_PROP(NewtonProperty, BoundedQuadraticsMeetTheOptimalityConditions, ()) {
  base::Random random(*rc::gen::arbitrary<std::uint64_t>());
  const int n = random.integer(1, 6);
  Eigen::MatrixXd a(n, n);
  Eigen::VectorXd mean(n), lower(n);
  for (int i = 0; i < n; ++i) {
    mean[i] = random.normal(0, 3);
    lower[i] = random.chance(0.5) ? 0.0 : kFree;
    for (int j = 0; j < n; ++j) a(i, j) = random.normal();
  }
  const Eigen::MatrixXd p = a * a.transpose() + Eigen::MatrixXd::Identity(n, n);
  const NewtonResult found = maximise(quadratic(mean, p), Eigen::VectorXd::Ones(n), lower);
  RC_ASSERT(found.converged);
  for (int i = 0; i < n; ++i) {
    RC_ASSERT(found.mode[i] >= lower[i]);
    if (found.mode[i] > lower[i])
      RC_ASSERT(std::abs(found.gradient[i]) < 1e-3);
    else
      RC_ASSERT(found.gradient[i] < 1e-3);
  }
}

}  // namespace
}  // namespace stumpwise::stat
