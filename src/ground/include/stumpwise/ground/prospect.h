#pragma once
#include <Eigen/Core>
#include <vector>

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
/// Independent normals. A covariate that the profile does not name gets 0 with sd 0.2: thought to matter
/// little, either way. Error(bad_format) where the profile names a covariate that does not exist.
Coefficients prior_coefficients(const species::GroundPrior& prior);

/// Index of the day by height, with its band: log index is linear between the heights, constant beyond them.
struct IndexByHeight {
  std::vector<double> elevation_m;  ///< rising
  std::vector<double> index, low90, high90;
};
/// The least index that the model knows.
inline constexpr double kIndexFloor = 0.001;
/// log max(index, 0.001) at a height. Error(bad_value) for a table that is empty, ragged or not rising.
double log_index(const IndexByHeight& index, double elevation_m);

/// log prospect = a + b.z + g log max(index, 0.001); median and 90 % interval of the posterior (design.md
/// section 2: the mean would send people to the least known cells). The variance of log prospect is x' C x +
/// b_host^2 var(z_host) + g^2 sd(log index)^2, with x = (1, z, log index) and the last from the 90 % band;
/// the product terms of small variances are left out. NaN on nodata and water. The same for every number of
/// threads.
struct Prospect {
  raster::Grid median, low05, high95, extrapolated;
};
Prospect prospect(const CovariateField& field, const Coefficients& coefficients, const IndexByHeight& index,
                  int threads);
/// Median only: what a plan needs many of.
raster::Grid prospect_median(const CovariateField& field, const Coefficients& coefficients,
                             const IndexByHeight& index, int threads);
/// Sd of log prospect at a cell.
double log_sd(const CovariateField& field, const Coefficients& coefficients, const IndexByHeight& index,
              std::size_t cell);

}  // namespace stumpwise::ground
