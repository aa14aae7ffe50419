#include "stumpwise/stat/circular.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stumpwise::stat {

CircularSummary circular_summary(const std::vector<double>& angles_rad, const std::vector<double>& weights) {
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
  result.resultant = std::hypot(x, y) / n;
  result.angular_deviation_rad = std::sqrt(2 * (1 - result.resultant));
  result.circular_sd_rad = std::sqrt(-2 * std::log(result.resultant));
  result.rayleigh_z = n * result.resultant * result.resultant;
  return result;
}

double grouping_correction(double width_rad) { return width_rad / 2 / std::sin(width_rad / 2); }

double von_mises_resultant(double kappa) {
  if (kappa > 500) return 1 - 1 / (2 * kappa) - 1 / (8 * kappa * kappa);  // asymptotic; the Bessel functions overflow
  return std::cyl_bessel_i(1.0, kappa) / std::cyl_bessel_i(0.0, kappa);
}

double von_mises_kappa(double r) {
  if (r <= 0) return 0;
  r = std::min(r, 0.999999);
  double kappa = r < 0.53 ? 2 * r + r * r * r + 5 * std::pow(r, 5) / 6 : r < 0.85 ? -0.4 + 1.39 * r + 0.43 / (1 - r) : 1 / (r * r * r - 4 * r * r + 3 * r);
  for (int i = 0; i < 20; ++i) {
    const double a = von_mises_resultant(kappa);
    const double slope = 1 - a * a - (kappa > 1e-9 ? a / kappa : 0.5);
    const double step = (a - r) / slope;
    kappa = std::max(1e-9, kappa - step);
    if (std::abs(step) < 1e-10 * (1 + kappa)) break;
  }
  return kappa;
}

double kappa_from_sd(double sd_rad) { return von_mises_kappa(std::exp(-sd_rad * sd_rad / 2)); }

}  // namespace stumpwise::stat
