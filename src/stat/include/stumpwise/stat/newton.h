#pragma once
#include <Eigen/Dense>
#include <functional>

namespace stumpwise::stat {

/// Value, gradient and negative Hessian (observed or expected information) of a log density at a point.
struct Objective {
  double value = 0;
  Eigen::VectorXd gradient;
  Eigen::MatrixXd information;
};
struct NewtonResult {
  Eigen::VectorXd mode;
  Eigen::VectorXd gradient;     ///< at the mode: 0 but in coordinates held at their bound
  Eigen::MatrixXd information;  ///< at the mode
  double value = 0;
  int iterations = 0;
  bool converged = false;
};

/// Maximum of a log density by Newton's method with a halving line search (Armijo, slope share 1e-4; Nocedal
/// & Wright 2006, ch. 3, memory). The step solves information * step = gradient; where Cholesky fails the
/// diagonal is raised until it does not.
///
/// `lower` bounds single coordinates from below (-infinity = free; empty = all free). Bounds are kept by an
/// active set: a step stops at the first bound it meets, and a coordinate at its bound is held while it would
/// go further down. Cutting the step, not projecting it, keeps the direction one of ascent whatever the
/// information's shape.
///
/// Stops where the Newton decrement gradient . step is below 1e-9, or where no step within the arithmetic's
/// precision raises the value and the decrement is below 1e-8 (1 + |value|). `converged` is false after
/// `most_iterations`. Error(bad_value) where the value at the start is not finite or sizes differ.
NewtonResult maximise(const std::function<Objective(const Eigen::VectorXd&)>& objective,
                      Eigen::VectorXd start, const Eigen::VectorXd& lower = {}, int most_iterations = 100);

}  // namespace stumpwise::stat
