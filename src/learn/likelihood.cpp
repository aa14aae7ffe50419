#include <algorithm>
#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/learn/learn.h"

namespace stumpwise::learn {
namespace {

using ground::Theta;
using ground::ThetaMatrix;

void require_whole(const OutingData& outing, double r) {
  if (!(r > 0) || !std::isfinite(r))
    throw Error(ErrorCode::bad_value, "the dispersion r of the counts must be above 0");
  if (outing.log_index.size() != outing.cells.size())
    throw Error(ErrorCode::bad_value, "an outing's log index must stand for each of its cells");
  for (const ExposedCell& cell : outing.cells)
    if (!(cell.exposure_ha > 0)) throw Error(ErrorCode::bad_value, "an exposed cell has no exposure");
}

/// log(exp(a) + exp(b)) without overflow.
double log_add(double a, double b) {
  return std::max(a, b) + std::log1p(std::exp(-std::abs(a - b)));
}

Theta design(const OutingData& outing, std::size_t cell) {
  Theta x;
  x << 1, outing.cells[cell].z, outing.log_index[cell];
  return x;
}

/// log(E exp(h)) by cell, and the logarithm of their sum.
struct Expected {
  std::vector<double> log_mean;
  double log_sum = 0;
};
Expected expected(const OutingData& outing, const Theta& theta) {
  Expected e;
  e.log_mean.reserve(outing.cells.size());
  for (std::size_t c = 0; c < outing.cells.size(); ++c)
    e.log_mean.push_back(std::log(outing.cells[c].exposure_ha) + theta.dot(design(outing, c)));
  const double most = *std::max_element(e.log_mean.begin(), e.log_mean.end());
  double sum = 0;
  for (const double each : e.log_mean) sum += std::exp(each - most);
  e.log_sum = most + std::log(sum);
  return e;
}

/// The part of the log-likelihood that does not hang on theta.
double constant(const OutingData& outing, double r) {
  const int y = outing.total(), placed = y - outing.unplaced_finds;
  double sum = std::lgamma(y + r) - std::lgamma(r) + r * std::log(r) - std::lgamma(y + 1.0) +
               std::lgamma(placed + 1.0);
  for (const ExposedCell& cell : outing.cells) sum -= std::lgamma(cell.finds + 1.0);
  return sum;
}

double value_of(const OutingData& outing, const Expected& e, double r) {
  double sum = constant(outing, r) + outing.unplaced_finds * e.log_sum -
               (outing.total() + r) * log_add(std::log(r), e.log_sum);
  for (std::size_t c = 0; c < outing.cells.size(); ++c) sum += outing.cells[c].finds * e.log_mean[c];
  return sum;
}

}  // namespace

double outing_log_likelihood(const OutingData& outing, const Theta& theta, double r) {
  require_whole(outing, r);
  return outing.cells.empty() ? 0 : value_of(outing, expected(outing, theta), r);
}

Curvature outing_curvature(const OutingData& outing, const Theta& theta, double r) {
  require_whole(outing, r);
  Curvature result;
  if (outing.cells.empty()) return result;
  const Expected e = expected(outing, theta);
  const int y = outing.total();
  // The share q = S / (r + S) of the total that the model expects it to explain.
  const double q = std::exp(e.log_sum - log_add(std::log(r), e.log_sum)), weight = (y + r) * q;
  Theta mean = Theta::Zero();
  ThetaMatrix second = ThetaMatrix::Zero();
  for (std::size_t c = 0; c < outing.cells.size(); ++c) {
    const Theta x = design(outing, c);
    const double share = std::exp(e.log_mean[c] - e.log_sum);
    mean += share * x;
    second += share * x * x.transpose();
    if (outing.cells[c].finds > 0) result.gradient += outing.cells[c].finds * x;
  }
  result.value = value_of(outing, e, r);
  result.gradient += (outing.unplaced_finds - weight) * mean;
  // With unplaced finds the exact factor weight - y_u may turn negative; its expectation at the truth is the
  // number placed.
  const double spread = outing.unplaced_finds > 0 ? y - outing.unplaced_finds : weight;
  result.information =
      spread * (second - mean * mean.transpose()) + weight * (1 - q) * mean * mean.transpose();
  return result;
}

}  // namespace stumpwise::learn
