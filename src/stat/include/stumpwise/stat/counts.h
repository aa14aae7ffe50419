#pragma once
#include <Eigen/Dense>
#include <vector>

/// Counts, their intervals, and scores of forecasts. Pure numbers.
namespace stumpwise::stat {

/// ln P(Y = y) of a Poisson count, y >= 0, mean >= 0 (mean 0: 0 for y = 0, -infinity otherwise).
double poisson_log_pmf(int y, double mean);
/// ln P(Y = y) of a negative binomial count with mean >= 0 and size r > 0: variance mean + mean^2 / r; r to
/// infinity is Poisson. Error(bad_value) for y < 0, r <= 0.
double negative_binomial_log_pmf(int y, double mean, double r);

struct Interval {
  double low = 0, high = 0;
};
/// Exact central interval of a Poisson rate, per unit of `exposure`, from `count` events (Garwood 1936,
/// Biometrika 28:437): gamma quantiles, low 0 for count 0. `level` in (0, 1), 0.95 for 95 %. Error(bad_value)
/// for count < 0, exposure <= 0, level outside.
Interval poisson_interval(int count, double exposure, double level);

/// Mean squared difference of forecast probabilities and outcomes 0 or 1 (Brier 1950, Mon. Weather Rev.
/// 78:1); 0 perfect, 0.25 for always 0.5. All scores: Error(bad_value) for no forecasts, unequal lengths, a
/// probability outside 0..1, another outcome.
double brier_score(const std::vector<double>& probabilities, const std::vector<int>& outcomes);
/// Mean -ln of the probability given to what happened, nats (Good 1952, J. R. Stat. Soc. B 14:107, memory);
/// infinite where that was 0.
double log_loss(const std::vector<double>& probabilities, const std::vector<int>& outcomes);
/// 1 - score / reference: 0 no better than the reference, 1 perfect, negative worse.
double skill(double score, double reference_score);

struct GlmFit {
  Eigen::VectorXd coefficients, standard_errors;
  Eigen::MatrixXd covariance;
  double deviance = 0, log_likelihood = 0, aic = 0;
  bool converged = false;
};
/// Poisson regression with log link by Newton (the information is the Fisher information: the link is
/// canonical). log mean = offset + design * coefficients; `offset` may be empty. Counts >= 0. `converged`
/// false also where the design's columns depend on each other.
GlmFit poisson_glm(const Eigen::MatrixXd& design, const Eigen::VectorXd& counts,
                   const Eigen::VectorXd& offset = {});

}  // namespace stumpwise::stat
