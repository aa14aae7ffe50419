#pragma once
#include <cstdint>

namespace stumpwise::demo {

/// A hash of a lattice point (splitmix64 finalizer), the ground of every noise here: the same on every
/// machine.
std::uint64_t lattice_hash(std::uint64_t seed, std::int64_t ix, std::int64_t iy);
/// Uniform in [0, 1) for a lattice point.
double lattice_uniform(std::uint64_t seed, std::int64_t ix, std::int64_t iy);

/// Gradient noise (Perlin 1985, quintic fade of 2002) of about -1 to 1; one lattice cell is one unit of x and
/// y.
double gradient_noise(std::uint64_t seed, double x, double y);
/// Sum of octaves, each of double frequency and half weight, about -1 to 1.
double summed_noise(std::uint64_t seed, double x, double y, int octaves);
/// Sum of octaves of 1 - |noise|, squared: sharp crests, about 0 to 1.
double ridged_noise(std::uint64_t seed, double x, double y, int octaves);

/// 0 below `low`, 1 above `high`, smooth between.
double smooth_step(double low, double high, double value);

}  // namespace stumpwise::demo
