#pragma once

namespace stumpwise::base {

/// Exact by definition (international yard and pound agreement, 1959).
inline constexpr double kMetresPerFoot = 0.3048;
inline constexpr double kMillimetresPerInch = 25.4;
inline constexpr double kSquareMetresPerHectare = 10'000.0;
inline constexpr double kMetresPerMile = 1609.344;

constexpr double degc_from_degf(double temperature_degf) {
  return (temperature_degf - 32.0) / 1.8;
}
constexpr double degf_from_degc(double temperature_degc) {
  return temperature_degc * 1.8 + 32.0;
}

}  // namespace stumpwise::base
