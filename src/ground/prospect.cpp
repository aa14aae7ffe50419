#include "stumpwise/ground/prospect.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "predictor.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/base/text.h"

namespace stumpwise::ground {
namespace {

/// Standard normal quantile of 0.95.
constexpr double kQuantile95 = 1.6448536269514722;
/// Sd of a coefficient that a profile does not name (assumption).
constexpr double kUnnamedSd = 0.2;

/// x' C x and the two other variances, in float for whole grids.
class Variance {
 public:
  explicit Variance(const Coefficients& c)
      : covariance_(c.covariance.cast<float>()),
        host2_(static_cast<float>(c.mean[1] * c.mean[1])),
        g2_(static_cast<float>(c.mean[kTheta - 1] * c.mean[kTheta - 1])) {}
  float of(const Eigen::Matrix<float, kTheta, 1>& x, float host_variance, float index_sd) const {
    return std::max(0.0f, x.dot(covariance_ * x)) + host2_ * host_variance + g2_ * index_sd * index_sd;
  }

 private:
  Eigen::Matrix<float, kTheta, kTheta> covariance_;
  float host2_, g2_;
};

void require_known_names(const species::GroundPrior& prior) {
  std::vector<std::string> known;
  for (const Standard& standard : standards()) known.push_back(standard.name);
  for (const auto& [name, value] : prior.b)
    if (std::find(known.begin(), known.end(), name) == known.end())
      throw Error(ErrorCode::bad_format,
                  fmt::format("the ground prior names the covariate \"{}\"; known are {}", name,
                              base::join(known, ", ")));
}

}  // namespace

Coefficients prior_coefficients(const species::GroundPrior& prior) {
  require_known_names(prior);
  Coefficients c;
  Theta sd = Theta::Constant(kUnnamedSd);
  for (int k = 0; k < kCovariates; ++k) {
    const auto given = prior.b.find(standards()[static_cast<std::size_t>(k)].name);
    if (given == prior.b.end()) continue;
    c.mean[k + 1] = given->second.first;
    sd[k + 1] = given->second.second;
  }
  c.mean[0] = prior.log_density_mean;
  sd[0] = prior.log_density_sd;
  c.mean[1] = prior.host_mean;
  sd[1] = prior.host_sd;
  c.mean[kTheta - 1] = prior.g_mean;
  sd[kTheta - 1] = prior.g_sd;
  c.covariance = sd.cwiseProduct(sd).asDiagonal();
  return c;
}

double log_index(const IndexByHeight& index, double elevation_m) {
  require_index(index);
  return log_index_at(index, elevation_m).mean;
}

Prospect prospect(const CovariateField& field, const Coefficients& coefficients, const IndexByHeight& index,
                  int threads) {
  using raster::Grid;
  using raster::Quantity;
  const raster::Georef& g = field.georef();
  Prospect result{Grid(g, Quantity::finds_per_ha), Grid(g, Quantity::finds_per_ha),
                  Grid(g, Quantity::finds_per_ha), Grid(g, Quantity::flag)};
  const LogIndexTable table(index);
  const Predictor predictor(field, coefficients.mean);
  const Variance variance(coefficients);
  const Eigen::Matrix<float, kTheta, 1> mean = coefficients.mean.cast<float>();
  base::parallel_ranges(g.size(), threads, [&](std::size_t begin, std::size_t end) {
    Predictor::Vector z{};
    Eigen::Matrix<float, kTheta, 1> x;
    for (std::size_t cell = begin; cell < end; ++cell) {
      if (!predictor.defined(cell)) continue;
      const LogIndexTable::Row day = table.at(predictor.elevation_m(cell));
      const float host_variance = predictor.z(cell, z);
      x[0] = 1;
      for (int k = 0; k < kCovariates; ++k) x[k + 1] = z[static_cast<std::size_t>(k)];
      x[kTheta - 1] = day.mean;
      const float h = mean.dot(x);
      const float reach = static_cast<float>(kQuantile95) * std::sqrt(variance.of(x, host_variance, day.sd));
      result.median.values[cell] = std::exp(h);
      result.low05.values[cell] = std::exp(h - reach);
      result.high95.values[cell] = std::exp(h + reach);
      result.extrapolated.values[cell] = field.extrapolated(cell) ? 1.0f : 0.0f;
    }
  });
  return result;
}

raster::Grid prospect_median(const CovariateField& field, const Coefficients& coefficients,
                             const IndexByHeight& index, int threads) {
  raster::Grid median(field.georef(), raster::Quantity::finds_per_ha);
  const LogIndexTable table(index);
  const Predictor predictor(field, coefficients.mean);
  const auto g = static_cast<float>(coefficients.mean[kTheta - 1]);
  base::parallel_ranges(median.values.size(), threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t cell = begin; cell < end; ++cell)
      if (predictor.defined(cell))
        median.values[cell] =
            std::exp(predictor.value(cell) + g * table.at(predictor.elevation_m(cell)).mean);
  });
  return median;
}

double log_sd(const CovariateField& field, const Coefficients& coefficients, const IndexByHeight& index,
              std::size_t cell) {
  require_index(index);
  const LogIndex day = log_index_at(index, field.elevation_m(cell));
  std::array<double, kCovariates> z{};
  field.z(cell, z);
  Theta x;
  x[0] = 1;
  for (int k = 0; k < kCovariates; ++k) x[k + 1] = z[static_cast<std::size_t>(k)];
  x[kTheta - 1] = day.mean;
  const double b_host = coefficients.mean[1], g = coefficients.mean[kTheta - 1];
  return std::sqrt(std::max(0.0, x.dot(coefficients.covariance * x)) +
                   field.host_variance(cell) * b_host * b_host + day.sd * day.sd * g * g);
}

}  // namespace stumpwise::ground
