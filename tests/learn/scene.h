#pragma once
#include <cmath>

#include "stumpwise/base/random.h"
#include "stumpwise/learn/learn.h"

namespace stumpwise::learn::testing_scene {

using ground::kCovariates;
using ground::kTheta;
using ground::Theta;

inline ground::Coefficients wide_prior() {
  species::GroundPrior prior;
  prior.log_density_mean = 0.5, prior.log_density_sd = 1.0;
  prior.host_mean = 0.8, prior.host_sd = 0.5;
  for (const auto& standard : ground::standards())
    if (std::string(standard.name) != "host") prior.b[standard.name] = {0.0, 0.4};
  prior.g_mean = 1, prior.g_sd = 0.3;
  return ground::prior_coefficients(prior);
}

/// A theta drawn from a prior with independent coefficients, g >= 0.
inline Theta draw(const ground::Coefficients& prior, base::Random& random) {
  Theta theta;
  for (int i = 0; i < kTheta; ++i) theta[i] = random.normal(prior.mean[i], std::sqrt(prior.covariance(i, i)));
  theta[kTheta - 1] = std::max(0.0, theta[kTheta - 1]);
  return theta;
}

/// Cells with made-up covariates, no finds yet.
inline OutingData empty_outing(base::Random& random, int cells) {
  OutingData outing;
  outing.date = base::make_date(2026, 5, 12);
  const double index = random.uniform(0.02, 1);
  for (int c = 0; c < cells; ++c) {
    ExposedCell cell;
    cell.area_ha = 1.44;
    cell.exposure_ha = random.uniform(0.1, 0.6);
    for (int k = 0; k < kCovariates; ++k) cell.z[k] = std::clamp(random.normal(0, 0.8), -3.0, 3.0);
    outing.cells.push_back(cell);
    outing.log_index.push_back(std::log(index));
  }
  return outing;
}

/// Finds by the model itself: gamma level of the day, Poisson in each cell.
inline void simulate(OutingData& outing, const Theta& theta, double r, base::Random& random,
                     double unplaced_share = 0) {
  const double level = random.gamma(r, 1 / r);
  for (std::size_t c = 0; c < outing.cells.size(); ++c) {
    ExposedCell& cell = outing.cells[c];
    const double h =
        theta[0] + cell.z.dot(theta.segment<kCovariates>(1)) + theta[kTheta - 1] * outing.log_index[c];
    const int finds = random.poisson(level * cell.exposure_ha * std::exp(h));
    for (int i = 0; i < finds; ++i) random.chance(unplaced_share) ? ++outing.unplaced_finds : ++cell.finds;
  }
}

inline std::vector<OutingData> simulated(const Theta& theta, double r, int outings, base::Random& random,
                                         double unplaced_share = 0) {
  std::vector<OutingData> result;
  for (int i = 0; i < outings; ++i) {
    result.push_back(empty_outing(random, 12));
    simulate(result.back(), theta, r, random, unplaced_share);
  }
  return result;
}

}  // namespace stumpwise::learn::testing_scene
