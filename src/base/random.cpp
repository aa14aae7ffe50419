#include "stumpwise/base/random.h"

#include <cmath>
#include <numbers>

namespace stumpwise::base {
namespace {

std::uint64_t rotate_left(std::uint64_t value, int by) {
  return (value << by) | (value >> (64 - by));
}

}  // namespace

Random::Random(std::uint64_t seed) {
  for (std::uint64_t& word : state_) {
    seed += 0x9e3779b97f4a7c15ULL;
    std::uint64_t z = seed;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    word = z ^ (z >> 31);
  }
}

std::uint64_t Random::bits() {
  const std::uint64_t result = rotate_left(state_[1] * 5, 7) * 9;
  const std::uint64_t shifted = state_[1] << 17;
  state_[2] ^= state_[0];
  state_[3] ^= state_[1];
  state_[1] ^= state_[2];
  state_[0] ^= state_[3];
  state_[2] ^= shifted;
  state_[3] = rotate_left(state_[3], 45);
  return result;
}

double Random::uniform() {
  return static_cast<double>(bits() >> 11) * 0x1.0p-53;
}

int Random::integer(int low, int high) {
  const double span = static_cast<double>(high) - low + 1.0;
  return low + static_cast<int>(std::floor(uniform() * span));
}

double Random::normal() {
  const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform()));
  return radius * std::cos(2.0 * std::numbers::pi * uniform());
}

double Random::gamma(double shape, double scale) {
  if (shape < 1.0) return gamma(shape + 1.0, scale) * std::pow(1.0 - uniform(), 1.0 / shape);
  const double d = shape - 1.0 / 3.0;
  const double c = 1.0 / std::sqrt(9.0 * d);
  while (true) {
    const double x = normal();
    const double v = std::pow(1.0 + c * x, 3);
    if (v <= 0) continue;
    const double u = 1.0 - uniform();
    if (std::log(u) < 0.5 * x * x + d - d * v + d * std::log(v)) return d * v * scale;
  }
}

int Random::poisson(double mean) {
  if (mean > 30.0) return static_cast<int>(std::max(0.0, std::round(normal(mean, std::sqrt(mean)))));
  double product = 1.0 - uniform();
  const double limit = std::exp(-mean);
  int n = 0;
  while (product > limit) {
    product *= 1.0 - uniform();
    ++n;
  }
  return n;
}

}  // namespace stumpwise::base
