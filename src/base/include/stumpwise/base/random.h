#pragma once
#include <cstdint>

namespace stumpwise::base {

/// xoshiro256** 1.0 seeded by splitmix64 (Blackman & Vigna 2021, ACM Trans. Math. Softw. 47:36), with
/// distributions of our own: the standard library's distributions differ between libraries, and a seed must
/// give the same world everywhere.
class Random {
 public:
  explicit Random(std::uint64_t seed);
  std::uint64_t bits();
  /// Uniform in [0, 1), 53 bits.
  double uniform();
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  /// Uniform integer in [low, high], both included; low <= high.
  int integer(int low, int high);
  bool chance(double probability) { return uniform() < probability; }
  /// Standard normal (Box and Muller 1958).
  double normal();
  double normal(double mean, double sd) { return mean + sd * normal(); }
  /// Gamma with the given shape > 0 and scale > 0 (Marsaglia & Tsang 2000).
  double gamma(double shape, double scale);
  /// Poisson with mean >= 0 (by inversion up to 30, above that as a rounded normal).
  int poisson(double mean);

 private:
  std::uint64_t state_[4];
};

}  // namespace stumpwise::base
