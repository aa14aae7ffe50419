#include <cmath>
#include <limits>
#include <numbers>

#include "stumpwise/base/error.h"
#include "stumpwise/learn/learn.h"
#include "stumpwise/stat/newton.h"

namespace stumpwise::learn {
namespace {

using ground::kTheta;
using ground::Theta;
using ground::ThetaMatrix;

constexpr int kG = kTheta - 1;
constexpr double kFree = -std::numeric_limits<double>::infinity();

/// The prior as precision, with its normaliser.
struct Prior {
  Theta mean;
  ThetaMatrix precision;
  double log_determinant = 0;  ///< of the precision
};

double log_determinant(const Eigen::LLT<ThetaMatrix>& factor) {
  return 2 * ThetaMatrix(factor.matrixL()).diagonal().array().log().sum();
}

Prior prior_of(const ground::Coefficients& coefficients) {
  const Eigen::LLT<ThetaMatrix> factor(coefficients.covariance);
  if (factor.info() != Eigen::Success || !coefficients.mean.allFinite())
    throw Error(ErrorCode::bad_value, "the prior's covariance is not positive definite");
  return {coefficients.mean, factor.solve(ThetaMatrix::Identity()), -log_determinant(factor)};
}

/// log of the standard normal distribution function; the tail by its first asymptotic term below -30, where
/// erfc is spent.
double log_normal_share(double x) {
  constexpr double kTail = -30;
  if (x < kTail) return -x * x / 2 - std::log(-x * std::sqrt(2 * std::numbers::pi));
  return std::log(0.5 * std::erfc(-x / std::numbers::sqrt2));
}

/// Log integral over g >= 0 of the normal approximation at a mode with gradient v along g (0 but at the
/// bound), relative to the whole normal's integral: exp(v t - k t^2 / 2) from t = -g on, k the precision of g
/// with all else integrated out.
double cut_at_zero(double g, double gradient, double g_variance) {
  const double k = 1 / g_variance;
  return gradient * gradient / (2 * k) + log_normal_share(std::sqrt(k) * (g + gradient / k));
}

}  // namespace

LearnResult fit(const std::vector<OutingData>& outings, const ground::Coefficients& prior, double r) {
  if (!(r > 0)) throw Error(ErrorCode::bad_value, "the dispersion r of the counts must be above 0");
  const Prior before = prior_of(prior);
  LearnResult result;
  result.coefficients = prior;
  std::vector<const OutingData*> used;
  for (const OutingData& outing : outings)
    if (!outing.cells.empty()) used.push_back(&outing);
  if (used.empty()) {
    result.converged = true;
    return result;
  }

  auto objective = [&](const Eigen::VectorXd& at) {
    const Theta theta = at, away = theta - before.mean;
    Curvature sum;
    sum.value = -0.5 * away.dot(before.precision * away);
    sum.gradient = -before.precision * away;
    sum.information = before.precision;
    for (const OutingData* outing : used) {
      const Curvature each = outing_curvature(*outing, theta, r);
      sum.value += each.value;
      sum.gradient += each.gradient;
      sum.information += each.information;
    }
    return stat::Objective{sum.value, sum.gradient, sum.information};
  };
  Eigen::VectorXd lower = Eigen::VectorXd::Constant(kTheta, kFree);
  lower[kG] = 0;
  constexpr int kMostIterations = 300;
  const stat::NewtonResult found = stat::maximise(objective, before.mean, lower, kMostIterations);

  const ThetaMatrix information = found.information;
  const Eigen::LLT<ThetaMatrix> factor(information);
  result.iterations = found.iterations;
  result.converged = found.converged && factor.info() == Eigen::Success;
  ground::Coefficients& after = result.coefficients;
  after.mean = found.mode;
  after.covariance = factor.solve(ThetaMatrix::Identity());
  after.covariance = (after.covariance + after.covariance.transpose()).eval() / 2;
  after.learned = true;
  for (const OutingData* outing : used) {
    ++after.outings;
    after.finds += outing->total();
  }
  const double pull = found.mode[kG] == 0 ? found.gradient[kG] : 0;
  // The two factors (2 pi)^(d/2) of prior and posterior cancel.
  result.log_evidence = found.value + 0.5 * (before.log_determinant - log_determinant(factor)) +
                        cut_at_zero(found.mode[kG], pull, after.covariance(kG, kG)) -
                        cut_at_zero(prior.mean[kG], 0, prior.covariance(kG, kG));
  result.gain.precision = information - before.precision;
  Theta natural = information * after.mean - before.precision * before.mean;
  natural[kG] += pull;
  result.gain.precision_mean = natural;
  return result;
}

}  // namespace stumpwise::learn
