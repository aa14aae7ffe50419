#pragma once
#include <optional>
#include <string>

namespace stumpwise::cli {

/// How numbers are written for a person; the JSON never changes. A missing value is written "?".
struct Units {
  bool us = false;

  std::string way(std::optional<double> length_m) const;     ///< "640 m", "3.1 km"; us: "2100 ft", "1.9 mi"
  std::string height(std::optional<double> height_m) const;  ///< "310 m"; us: "1017 ft"
  std::string area(std::optional<double> area_m2) const;     ///< "0.42 ha"; us: "1.04 acres"
  std::string rain(std::optional<double> depth_mm) const;    ///< "12.0 mm"; us: "0.47 in"
  std::string temperature(std::optional<double> temperature_degc) const;
  std::string density(std::optional<double> per_ha) const;  ///< "0.031 finds/ha"; us: per acre
  /// Lengths that stand in a text of the program ("45 km away"), and with `weather` its temperatures and
  /// rain.
  std::string in_words(const std::string& text, bool weather) const;
};

/// "1.84 finds (90 % band 0.62 to 4.10)".
std::string finds_words(std::optional<double> median, std::optional<double> low90,
                        std::optional<double> high90);
std::string minutes_words(std::optional<double> minutes);  ///< "35 min"
std::string clock_words(
    const std::string& iso);  ///< "16:24" of an instant with offset: its own clock, seconds dropped
std::string day_words(const std::string& iso_date);  ///< "2026-05-12 Tue"
std::string place_words(std::optional<double> lat_deg, std::optional<double> lon_deg);

}  // namespace stumpwise::cli
