#include "noise.h"

#include <algorithm>
#include <cmath>

namespace stumpwise::demo {
namespace {

double fade(double t) {
  return t * t * t * (t * (t * 6 - 15) + 10);
}

/// Dot product of one of 16 unit gradients with the way from the lattice point.
double gradient(std::uint64_t hash, double dx, double dy) {
  static constexpr double kCos[16] = {1,  0.9238795325112867,  0.7071067811865476,  0.3826834323650898,
                                      0,  -0.3826834323650898, -0.7071067811865476, -0.9238795325112867,
                                      -1, -0.9238795325112867, -0.7071067811865476, -0.3826834323650898,
                                      0,  0.3826834323650898,  0.7071067811865476,  0.9238795325112867};
  const std::size_t k = hash & 15u;
  return kCos[k] * dx + kCos[(k + 12) & 15u] * dy;
}

}  // namespace

std::uint64_t lattice_hash(std::uint64_t seed, std::int64_t ix, std::int64_t iy) {
  std::uint64_t z = seed + static_cast<std::uint64_t>(ix) * 0x9E3779B97F4A7C15u +
                    static_cast<std::uint64_t>(iy) * 0xC2B2AE3D27D4EB4Fu;
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
  return z ^ (z >> 31);
}

double lattice_uniform(std::uint64_t seed, std::int64_t ix, std::int64_t iy) {
  return static_cast<double>(lattice_hash(seed, ix, iy) >> 11) * 0x1p-53;
}

double gradient_noise(std::uint64_t seed, double x, double y) {
  const double fx = std::floor(x), fy = std::floor(y);
  const auto ix = static_cast<std::int64_t>(fx), iy = static_cast<std::int64_t>(fy);
  const double dx = x - fx, dy = y - fy, u = fade(dx), v = fade(dy);
  const double a = gradient(lattice_hash(seed, ix, iy), dx, dy),
               b = gradient(lattice_hash(seed, ix + 1, iy), dx - 1, dy);
  const double c = gradient(lattice_hash(seed, ix, iy + 1), dx, dy - 1),
               d = gradient(lattice_hash(seed, ix + 1, iy + 1), dx - 1, dy - 1);
  const double south = a + u * (b - a), north = c + u * (d - c);
  return 1.5 * (south + v * (north - south));  // 1.5 brings the usual range to about one
}

double summed_noise(std::uint64_t seed, double x, double y, int octaves) {
  double sum = 0, weight = 1, total = 0, scale = 1;
  for (int k = 0; k < octaves; ++k) {
    sum += weight * gradient_noise(seed + static_cast<std::uint64_t>(k) * 7919u, x * scale, y * scale);
    total += weight;
    weight *= 0.5;
    scale *= 2.03;  // not quite 2, so that the octaves' lattices do not lie on each other
  }
  return sum / total;
}

double ridged_noise(std::uint64_t seed, double x, double y, int octaves) {
  double sum = 0, weight = 1, total = 0, scale = 1;
  for (int k = 0; k < octaves; ++k) {
    const double crest =
        1 - std::min(1.0, std::abs(gradient_noise(seed + static_cast<std::uint64_t>(k) * 104729u, x * scale,
                                                  y * scale)));
    sum += weight * crest * crest;
    total += weight;
    weight *= 0.5;
    scale *= 2.03;
  }
  return sum / total;
}

double smooth_step(double low, double high, double value) {
  const double t = std::clamp((value - low) / (high - low), 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

}  // namespace stumpwise::demo
