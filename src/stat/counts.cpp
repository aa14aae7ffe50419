#include "stumpwise/stat/counts.h"

#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <limits>
#include <string>

#include "stumpwise/base/error.h"
#include "stumpwise/stat/newton.h"

namespace stumpwise::stat {
namespace {

constexpr double kImpossible = -std::numeric_limits<double>::infinity();

void require(bool holds, const std::string& message) {
  if (!holds) throw Error(ErrorCode::bad_value, message);
}

void require_scores(const std::vector<double>& probabilities, const std::vector<int>& outcomes) {
  require(!probabilities.empty() && probabilities.size() == outcomes.size(),
          "a score needs at least one forecast and one outcome for each");
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    require(probabilities[i] >= 0 && probabilities[i] <= 1, "a forecast probability is outside 0 to 1");
    require(outcomes[i] == 0 || outcomes[i] == 1, "an outcome is neither 0 nor 1");
  }
}

}  // namespace

double poisson_log_pmf(int y, double mean) {
  require(y >= 0 && mean >= 0, "a Poisson count and its mean must be 0 or more");
  if (mean == 0) return y == 0 ? 0 : kImpossible;
  return y * std::log(mean) - mean - std::lgamma(y + 1.0);
}

double negative_binomial_log_pmf(int y, double mean, double r) {
  require(y >= 0 && mean >= 0 && r > 0, "a count and its mean must be 0 or more, the size above 0");
  if (mean == 0) return y == 0 ? 0 : kImpossible;
  // log1p keeps the Poisson limit of a large r.
  return std::lgamma(y + r) - std::lgamma(r) - std::lgamma(y + 1.0) - r * std::log1p(mean / r) -
         y * std::log1p(r / mean);
}

Interval poisson_interval(int count, double exposure, double level) {
  require(count >= 0 && exposure > 0 && level > 0 && level < 1,
          "an interval needs a count of 0 or more, an exposure above 0 and a level between 0 and 1");
  const double tail = (1 - level) / 2;
  const double low = count == 0 ? 0 : boost::math::gamma_p_inv(static_cast<double>(count), tail);
  return {low / exposure, boost::math::gamma_q_inv(count + 1.0, tail) / exposure};
}

double brier_score(const std::vector<double>& probabilities, const std::vector<int>& outcomes) {
  require_scores(probabilities, outcomes);
  double sum = 0;
  for (std::size_t i = 0; i < outcomes.size(); ++i)
    sum += (probabilities[i] - outcomes[i]) * (probabilities[i] - outcomes[i]);
  return sum / static_cast<double>(outcomes.size());
}

double log_loss(const std::vector<double>& probabilities, const std::vector<int>& outcomes) {
  require_scores(probabilities, outcomes);
  double sum = 0;
  for (std::size_t i = 0; i < outcomes.size(); ++i)
    sum -= outcomes[i] == 1 ? std::log(probabilities[i]) : std::log1p(-probabilities[i]);
  return sum / static_cast<double>(outcomes.size());
}

double skill(double score, double reference_score) {
  require(reference_score > 0, "the reference score must be above 0");
  return 1 - score / reference_score;
}

GlmFit poisson_glm(const Eigen::MatrixXd& design, const Eigen::VectorXd& counts,
                   const Eigen::VectorXd& offset) {
  const Eigen::VectorXd shift = offset.size() == 0 ? Eigen::VectorXd::Zero(counts.size()).eval() : offset;
  require(design.rows() == counts.size() && shift.size() == counts.size(),
          "design, counts and offset differ in length");
  require(counts.size() > 0 && counts.minCoeff() >= 0, "a Poisson regression needs counts of 0 or more");
  auto objective = [&](const Eigen::VectorXd& b) {
    const Eigen::VectorXd eta = design * b + shift, mean = eta.array().exp();
    return Objective{counts.dot(eta) - mean.sum(), design.transpose() * (counts - mean),
                     design.transpose() * mean.asDiagonal() * design};
  };
  const NewtonResult found = maximise(objective, Eigen::VectorXd::Zero(design.cols()));
  const Eigen::FullPivLU<Eigen::MatrixXd> inverse(found.information);
  GlmFit fit;
  fit.coefficients = found.mode;
  fit.converged = found.converged && inverse.isInvertible();
  fit.covariance = found.information.inverse();
  fit.standard_errors = fit.covariance.diagonal().cwiseSqrt();
  const Eigen::VectorXd mean = (design * found.mode + shift).array().exp();
  for (Eigen::Index i = 0; i < counts.size(); ++i) {
    const double saturated = counts[i] > 0 ? counts[i] * std::log(counts[i] / mean[i]) : 0;
    fit.deviance += 2 * (saturated - (counts[i] - mean[i]));
    fit.log_likelihood += counts[i] * std::log(mean[i]) - mean[i] - std::lgamma(counts[i] + 1);
  }
  fit.aic = -2 * fit.log_likelihood + 2 * static_cast<double>(design.cols());
  return fit;
}

}  // namespace stumpwise::stat
