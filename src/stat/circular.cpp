#include "stumpwise/stat/circular.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "stumpwise/base/error.h"

namespace stumpwise::stat {

CircularSummary circular_summary(const std::vector<double>& angles_rad, const std::vector<double>& weights) {
  if (!weights.empty() && weights.size() != angles_rad.size())
    throw Error(ErrorCode::bad_value, std::to_string(weights.size()) + " weights for " +
                                          std::to_string(angles_rad.size()) + " angles: one each is needed");
  for (double w : weights)
    if (!(w >= 0) || !std::isfinite(w))
      throw Error(ErrorCode::bad_value, "a weight of " + std::to_string(w) + ": 0 or more is needed");
  double x = 0, y = 0, n = 0;
  for (std::size_t i = 0; i < angles_rad.size(); ++i) {
    const double w = weights.empty() ? 1.0 : weights[i];
    x += w * std::cos(angles_rad[i]);
    y += w * std::sin(angles_rad[i]);
    n += w;
  }
  CircularSummary result;
  if (n == 0) return result;
  result.mean_rad = std::atan2(y, x);
  if (result.mean_rad < 0) result.mean_rad += 2 * std::numbers::pi;
  result.resultant = std::min(1.0, std::hypot(x, y) / n);  // rounding must not make 1 - r negative
  result.angular_deviation_rad = std::sqrt(2 * (1 - result.resultant));
  result.circular_sd_rad = std::sqrt(-2 * std::log(result.resultant));
  result.rayleigh_z = n * result.resultant * result.resultant;
  return result;
}

double grouping_correction(double width_rad) {
  return width_rad / 2 / std::sin(width_rad / 2);
}

double von_mises_density(double angle_rad, double mean_rad, double kappa) {
  kappa = std::max(0.0, kappa);
  const double from_peak = kappa * (std::cos(angle_rad - mean_rad) - 1);
  // I0(kappa) exp(-kappa) keeps both parts within range; above 500 its asymptotic series (Abramowitz &
  // Stegun 9.7.1).
  const double scaled = kappa > 500 ? (1 + 1 / (8 * kappa)) / std::sqrt(2 * std::numbers::pi * kappa)
                                    : std::cyl_bessel_i(0.0, kappa) * std::exp(-kappa);
  return std::exp(from_peak) / (2 * std::numbers::pi * scaled);
}

double von_mises_resultant(double kappa) {
  if (kappa <= 0) return 0;
  if (kappa > 500) {
    const double u = 1 / kappa;
    return 1 - u / 2 - u * u / 8 - u * u * u / 8;
  }
  return std::cyl_bessel_i(1.0, kappa) / std::cyl_bessel_i(0.0, kappa);
}

namespace {

/// Start values of Fisher 1993, eq. 4.40.
double kappa_start(double r) {
  if (r < 0.53) return 2 * r + r * r * r + 5 * std::pow(r, 5) / 6;
  if (r < 0.85) return -0.4 + 1.39 * r + 0.43 / (1 - r);
  return 1 / (r * r * r - 4 * r * r + 3 * r);
}

}  // namespace

double von_mises_kappa(double resultant) {
  if (!(resultant > 0)) return 0;
  const double r = std::min(resultant, 0.999999);
  double kappa = kappa_start(r);
  for (int i = 0; i < 50; ++i) {
    const double a = von_mises_resultant(kappa);
    const double slope = 1 - a * a - a / kappa;  // A'(kappa)
    const double next = std::max(kappa / 2, kappa - (a - r) / slope);
    const bool settled = std::abs(next - kappa) < 1e-12 * kappa;
    kappa = next;
    if (settled) break;
  }
  return kappa;
}

double kappa_from_sd(double sd_rad) {
  return von_mises_kappa(std::exp(-sd_rad * sd_rad / 2));
}

}  // namespace stumpwise::stat
