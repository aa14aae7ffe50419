#include "noise.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <complex>
#include <numbers>

#include "stumpwise/base/error.h"
#include "stumpwise/base/random.h"

namespace stumpwise::bench {
namespace {

using Complex = std::complex<float>;

/// Inverse transform of a power of two of values, without the factor 1/n (Cooley & Tukey 1965, radix 2, in
/// place).
class Inverse {
 public:
  explicit Inverse(std::size_t n) : n_(n), turns_(n / 2) {
    for (std::size_t k = 0; k < n / 2; ++k) {
      const double angle = 2 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(n);
      turns_[k] = Complex(static_cast<float>(std::cos(angle)), static_cast<float>(std::sin(angle)));
    }
  }

  void operator()(std::vector<Complex>& v) const {
    for (std::size_t i = 1, j = 0; i < n_; ++i) {
      std::size_t bit = n_ >> 1;
      for (; j & bit; bit >>= 1) j ^= bit;
      j ^= bit;
      if (i < j) std::swap(v[i], v[j]);
    }
    for (std::size_t half = 1; half < n_; half *= 2)
      for (std::size_t begin = 0; begin < n_; begin += 2 * half)
        for (std::size_t k = 0; k < half; ++k) {
          const Complex a = v[begin + k], b = product(v[begin + k + half], turns_[k * (n_ / (2 * half))]);
          v[begin + k] = a + b;
          v[begin + k + half] = a - b;
        }
  }

 private:
  /// Without the library's care for infinities, which costs more than the transform.
  static Complex product(Complex a, Complex b) {
    return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
  }
  std::size_t n_;
  std::vector<Complex> turns_;
};

/// Half of the spectrum (a real surface has the other half's mirror), transformed along its columns.
std::vector<Complex> columns(std::size_t n, std::uint64_t seed, const Inverse& inverse) {
  const std::size_t half = n / 2 + 1;
  std::vector<Complex> spectrum(n * half);
  base::Random random(seed);
  for (std::size_t ky = 0; ky < n; ++ky) {
    const double fy = static_cast<double>(std::min(ky, n - ky)) / static_cast<double>(n);
    for (std::size_t kx = 0; kx < half; ++kx) {
      const double fx = static_cast<double>(kx) / static_cast<double>(n), f2 = fx * fx + fy * fy;
      const double size = f2 > 0 ? 1 / f2 : 0;
      const double real = random.normal(), imaginary = random.normal();
      spectrum[ky * half + kx] = {static_cast<float>(size * real), static_cast<float>(size * imaginary)};
    }
  }
  std::vector<Complex> column(n);
  for (std::size_t kx = 0; kx < half; ++kx) {
    for (std::size_t ky = 0; ky < n; ++ky) column[ky] = spectrum[ky * half + kx];
    inverse(column);
    for (std::size_t ky = 0; ky < n; ++ky) spectrum[ky * half + kx] = column[ky];
  }
  return spectrum;
}

}  // namespace

raster::Grid noise_land(int side, std::uint64_t seed) {
  if (side < 2 || side > 32768 || !std::has_single_bit(static_cast<unsigned>(side)))
    throw Error(ErrorCode::bad_usage, fmt::format("--make {}: a power of two, 2 to 32768", side));
  const auto n = static_cast<std::size_t>(side), half = n / 2 + 1;
  const Inverse inverse(n);
  const std::vector<Complex> rows = columns(n, seed, inverse);
  raster::Grid land({500000, 5'000'000, 10, side, side, 32633}, raster::Quantity::elevation_m, 0);
  std::vector<Complex> row(n);
  for (std::size_t y = 0; y < n; ++y) {
    std::copy_n(rows.begin() + static_cast<std::ptrdiff_t>(y * half), half, row.begin());
    for (std::size_t x = half; x < n; ++x) row[x] = std::conj(row[n - x]);
    inverse(row);
    for (std::size_t x = 0; x < n; ++x) land.values[y * n + x] = row[x].real();
  }
  const auto [low, high] = std::minmax_element(land.values.begin(), land.values.end());
  const float lowest = *low, scale = 2000 / (*high - *low);
  for (float& z : land.values) z = (z - lowest) * scale;
  return land;
}

}  // namespace stumpwise::bench
