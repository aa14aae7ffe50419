#include "stumpwise/stat/newton.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "stumpwise/base/error.h"

namespace stumpwise::stat {
namespace {

constexpr double kDecrementEnough = 1e-9;
constexpr double kArmijo = 1e-4;
constexpr int kMostHalvings = 60;

/// Solves information * step = gradient in the coordinates of `free`; the others stay 0.
Eigen::VectorXd newton_step(const Objective& at, const std::vector<Eigen::Index>& free) {
  const auto n = static_cast<Eigen::Index>(free.size());
  Eigen::MatrixXd information(n, n);
  Eigen::VectorXd gradient(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    gradient[i] = at.gradient[free[static_cast<std::size_t>(i)]];
    for (Eigen::Index j = 0; j < n; ++j)
      information(i, j) =
          at.information(free[static_cast<std::size_t>(i)], free[static_cast<std::size_t>(j)]);
  }
  Eigen::LLT<Eigen::MatrixXd> factor(information);
  double ridge = 1e-6 * (1 + information.diagonal().cwiseAbs().maxCoeff());
  while (factor.info() != Eigen::Success) {
    if (!std::isfinite(ridge)) throw Error(ErrorCode::internal, "the information matrix is not finite");
    factor.compute(information + ridge * Eigen::MatrixXd::Identity(n, n));
    ridge *= 10;
  }
  const Eigen::VectorXd solved = factor.solve(gradient);
  Eigen::VectorXd step = Eigen::VectorXd::Zero(at.gradient.size());
  for (Eigen::Index i = 0; i < n; ++i) step[free[static_cast<std::size_t>(i)]] = solved[i];
  return step;
}

/// The Newton step of the coordinates that are not held at their bound.
Eigen::VectorXd feasible_step(const Objective& at, const Eigen::VectorXd& x, const Eigen::VectorXd& lower) {
  std::vector<Eigen::Index> free;
  for (Eigen::Index i = 0; i < x.size(); ++i)
    if (x[i] > lower[i] || at.gradient[i] > 0) free.push_back(i);
  while (!free.empty()) {
    Eigen::VectorXd step = newton_step(at, free);
    std::vector<Eigen::Index> kept;
    for (const Eigen::Index i : free)
      if (x[i] > lower[i] || step[i] >= 0) kept.push_back(i);
    if (kept.size() == free.size()) return step;
    free = kept;  // pulled down by its neighbours: held, and the rest solved again
  }
  return Eigen::VectorXd::Zero(x.size());
}

/// A point along the step. What reaches its bound lies on it exactly: a rest of rounding above it would stop
/// the next step before it began.
Eigen::VectorXd along(const Eigen::VectorXd& x, const Eigen::VectorXd& step, double length,
                      const Eigen::VectorXd& lower) {
  constexpr double kRounding = 1e-12;
  Eigen::VectorXd next = x + length * step;
  for (Eigen::Index i = 0; i < x.size(); ++i)
    if (step[i] < 0 && std::isfinite(lower[i]) && next[i] - lower[i] <= kRounding * (x[i] - lower[i]))
      next[i] = lower[i];
  return next;
}

double length_to_bound(const Eigen::VectorXd& x, const Eigen::VectorXd& step, const Eigen::VectorXd& lower) {
  double length = 1;
  for (Eigen::Index i = 0; i < x.size(); ++i)
    if (step[i] < 0) length = std::min(length, (lower[i] - x[i]) / step[i]);
  return length;
}

}  // namespace

NewtonResult maximise(const std::function<Objective(const Eigen::VectorXd&)>& objective,
                      Eigen::VectorXd start, const Eigen::VectorXd& lower, int most_iterations) {
  const Eigen::VectorXd bound =
      lower.size() == 0
          ? Eigen::VectorXd::Constant(start.size(), -std::numeric_limits<double>::infinity()).eval()
          : lower;
  if (bound.size() != start.size())
    throw Error(ErrorCode::bad_value, "the bounds have another length than the start");
  Eigen::VectorXd x = start.cwiseMax(bound);
  Objective at = objective(x);
  if (!std::isfinite(at.value))
    throw Error(ErrorCode::bad_value, "the log density at the start is not finite");

  NewtonResult result;
  while (!result.converged && result.iterations < most_iterations) {
    const Eigen::VectorXd step = feasible_step(at, x, bound);
    const double decrement = step.dot(at.gradient);
    if (decrement <= kDecrementEnough) {
      result.converged = true;
      break;
    }
    ++result.iterations;
    double length = length_to_bound(x, step, bound);
    bool moved = false;
    for (int halving = 0; halving < kMostHalvings && !moved; ++halving, length /= 2) {
      const Eigen::VectorXd next = along(x, step, length, bound);
      Objective there = objective(next);
      if (!std::isfinite(there.value) || there.value < at.value + kArmijo * length * decrement) continue;
      x = next;
      at = std::move(there);
      moved = true;
    }
    if (!moved) {
      // Large sums of logarithms round at about 1e-16 of their size: there a rise cannot be seen any more.
      result.converged = decrement <= 1e-8 * (1 + std::abs(at.value));
      break;
    }
  }
  result.mode = x;
  result.gradient = at.gradient;
  result.information = at.information;
  result.value = at.value;
  return result;
}

}  // namespace stumpwise::stat
