#include <algorithm>
#include <array>
#include <cmath>

#include "emerge.h"
#include "stumpwise/base/random.h"

namespace stumpwise::season {
namespace {

constexpr int kVariants = 32;
/// 90 % of a normal lies within this many standard deviations.
constexpr double kSds90 = 1.6448536269514722;

/// Quantile of the standard normal by bisection of its distribution function: called 96 times in all.
double normal_quantile(double p) {
  double low = -8, high = 8;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (0.5 * std::erfc(-middle / std::sqrt(2.0)) < p ? low : high) = middle;
  }
  return (low + high) / 2;
}

using Draws = std::array<std::array<double, 3>, kVariants>;

/// Latin hypercube of standard normals: each parameter takes each of 32 equal slices once, so the band of 32
/// draws is as steady as that of many independent ones.
Draws make_draws() {
  base::Random random(20260512);
  Draws draws{};
  for (std::size_t parameter = 0; parameter < 3; ++parameter) {
    std::array<int, kVariants> order{};
    for (int i = 0; i < kVariants; ++i) order[static_cast<std::size_t>(i)] = i;
    for (int i = kVariants - 1; i > 0; --i)
      std::swap(order[static_cast<std::size_t>(i)], order[static_cast<std::size_t>(random.integer(0, i))]);
    for (std::size_t i = 0; i < draws.size(); ++i)
      draws[i][parameter] = normal_quantile((order[i] + 0.5) / kVariants);
  }
  return draws;
}

double quantile(const std::vector<double>& sorted, double p) {
  const double at = p * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (sorted[above] - sorted[below]) * (at - static_cast<double>(below));
}

}  // namespace

std::vector<Variant> variants(const species::Triggers& triggers) {
  static const Draws draws = make_draws();
  std::vector<Variant> result;
  for (const auto& draw : draws)
    result.push_back({draw[0] * triggers.season_uncertainty_days / kSds90,
                      draw[1] * triggers.t_uncertainty_degc / kSds90,
                      std::exp(draw[2] * std::log1p(triggers.rain_uncertainty) / kSds90)});
  return result;
}

void set_band(std::vector<double> values, double factor, IndexDay& day) {
  values.push_back(day.index);
  std::sort(values.begin(), values.end());
  const double low = std::min(day.index, quantile(values, 0.05)),
               high = std::max(day.index, quantile(values, 0.95));
  factor = std::max(1.0, factor);
  day.low90 = std::clamp(day.index - (day.index - low) * factor, 0.0, 1.0);
  day.high90 = std::clamp(day.index + (high - day.index) * factor, 0.0, 1.0);
}

}  // namespace stumpwise::season
