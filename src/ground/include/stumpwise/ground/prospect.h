#pragma once
#include <Eigen/Core>
#include <functional>

#include "stumpwise/ground/layers.h"

namespace stumpwise::ground {

/// theta = (a, b_1..b_k, g): normal, from the profile's prior or from `learn`.
inline constexpr int kTheta = kCovariates + 2;
using Theta = Eigen::Matrix<double, kTheta, 1>;
using ThetaMatrix = Eigen::Matrix<double, kTheta, kTheta>;
struct Coefficients {
  Theta mean = Theta::Zero();
  ThetaMatrix covariance = ThetaMatrix::Identity();
  bool learned = false;
  int outings = 0, finds = 0;
};
Coefficients prior_coefficients(const species::GroundPrior& prior);

/// Index of the day by height, with its band: log index is linear between the heights.
struct IndexByHeight {
  std::vector<double> elevation_m;  ///< rising
  std::vector<double> index, low90, high90;
};

/// log prospect = a + b.z + g log max(index, 0.001); median and 90 % interval of the posterior (design.md section 2: the mean
/// would send people to the least known cells).
struct Prospect {
  raster::Grid median, low05, high95, extrapolated;
};
Prospect prospect(const CovariateField& field, const Coefficients& coefficients, const IndexByHeight& index, int threads);
/// Median only: what a plan needs many of.
raster::Grid prospect_median(const CovariateField& field, const Coefficients& coefficients, const IndexByHeight& index, int threads);
/// Sd of log prospect at a cell.
double log_sd(const CovariateField& field, const Coefficients& coefficients, const IndexByHeight& index, std::size_t cell);

}  // namespace stumpwise::ground
