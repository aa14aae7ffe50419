#pragma once
#include <algorithm>
#include <cmath>
#include <numbers>

#include "stumpwise/ground/layers.h"

// The host covariate is a logarithm: from no host to a few per cent matters more than from half to all.
namespace stumpwise::ground {

/// Keeps ground without a host finite: a lone tree in half a hectare (assumption of model version 1).
inline constexpr double kHostFloor = 0.005;
/// Where no cover is known nothing is known of the trees: little on average, much in doubt.
inline constexpr double kUnknownHost = 0.05, kUnknownHostSd = 0.10;

inline double host_log(double cover) {
  return std::log10(kHostFloor + cover);
}

/// Variance of the standardised host covariate from that of the cover, by the delta method: the slope of
/// log10(0.005 + h) is 1 / (ln 10 (0.005 + h)). Near 0 that slope is steep and the method fails, so the
/// result is held at the square of half the covariate's span, which no distribution on it can exceed
/// (Popoviciu 1935, memory).
inline double host_z_variance(double cover, double cover_variance) {
  const double scale = standards()[0].scale;
  const double slope = 1 / (std::numbers::ln10 * (kHostFloor + cover) * scale);
  const double half_span = (host_log(1) - host_log(0)) / scale / 2;
  return std::min(cover_variance * slope * slope, half_span * half_span);
}

}  // namespace stumpwise::ground
