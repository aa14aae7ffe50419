#pragma once
#include <functional>
#include <vector>

#include "stumpwise/ground/prospect.h"
#include "stumpwise/records/records.h"

namespace stumpwise::learn {

/// A cell of an outing's exposure: cells of at least 10 sweep widths a side, whatever the ground's own cell.
struct ExposedCell {
  double exposure_ha = 0;  ///< A (1 - exp(-W L / A)) / 10 000
  Eigen::Matrix<double, ground::kCovariates, 1> z;  ///< mean over the ground's cells inside
  double elevation_m = 0;
  int finds = 0;
};
struct OutingData {
  Date date;
  std::vector<ExposedCell> cells;
  int unplaced_finds = 0;
  std::vector<double> log_index;  ///< per cell, log max(index, 0.001)
  int total() const;
};

/// Smoothed track or search minutes to exposed cells. What is faster than walking (over 7 km/h) is set apart.
OutingData expose(const records::Outing& outing, const std::string& species, const ground::CovariateField& field,
                  double sweep_width_m, double search_speed_m_per_min);

/// Log-likelihood of one outing's counts: total negative binomial with size r, positions multinomial:
/// sum_c y_c h_c - (y + r) log(r + sum_c E_c exp(h_c)) + const (design.md section 2).
double outing_log_likelihood(const OutingData& outing, const ground::Theta& theta, double r);

struct LearnResult {
  ground::Coefficients coefficients;
  double log_evidence = 0;
  int iterations = 0;
  bool converged = false;
};
/// Mode by Newton with line search from the prior, Laplace approximation (covariance, log evidence). g is kept >= 0.
LearnResult fit(const std::vector<OutingData>& outings, const ground::Coefficients& prior, double r);

}  // namespace stumpwise::learn
