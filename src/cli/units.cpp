#include "units.h"

#include <fmt/format.h>

#include <array>
#include <chrono>
#include <cmath>
#include <functional>
#include <regex>

#include "stumpwise/base/date.h"
#include "stumpwise/base/units.h"

namespace stumpwise::cli {
namespace {

constexpr double kSquareMetresPerAcre =
    4046.8564224;  ///< international acre: 43 560 square feet of 0.3048 m, exact
constexpr const char* kUnknown = "?";

/// Three significant digits without an exponent.
std::string significant(double value) {
  if (value == 0) return "0";
  const double size = std::abs(value);
  if (size < 0.0001) return "under 0.0001";
  const int decimals = std::max(0, 2 - static_cast<int>(std::floor(std::log10(size))));
  return fmt::format("{:.{}f}", value, decimals);
}

using Rewrite = std::function<std::string(const std::smatch&)>;

std::string rewritten(const std::string& text, const std::regex& pattern, const Rewrite& rewrite) {
  std::string result;
  auto from = text.cbegin();
  for (std::sregex_iterator hit(text.begin(), text.end(), pattern), end; hit != end; ++hit) {
    result.append(from, text.cbegin() + hit->position());
    result += rewrite(*hit);
    from = text.cbegin() + hit->position() + hit->length();
  }
  return result.append(from, text.cend());
}

std::string whole_degf(const std::string& degc) {
  return fmt::format("{}", std::lround(base::degf_from_degc(std::stod(degc))));
}

}  // namespace

std::string Units::way(std::optional<double> length_m) const {
  if (!length_m) return kUnknown;
  if (us) {
    const double miles = *length_m / base::kMetresPerMile;
    return std::abs(miles) < 0.5 ? height(length_m) : fmt::format("{:.1f} mi", miles);
  }
  return std::abs(*length_m) < 1000 ? fmt::format("{:.0f} m", *length_m)
                                    : fmt::format("{:.1f} km", *length_m / 1000);
}

std::string Units::height(std::optional<double> height_m) const {
  if (!height_m) return kUnknown;
  return us ? fmt::format("{:.0f} ft", *height_m / base::kMetresPerFoot) : fmt::format("{:.0f} m", *height_m);
}

std::string Units::area(std::optional<double> area_m2) const {
  if (!area_m2) return kUnknown;
  return us ? significant(*area_m2 / kSquareMetresPerAcre) + " acres"
            : significant(*area_m2 / base::kSquareMetresPerHectare) + " ha";
}

std::string Units::rain(std::optional<double> depth_mm) const {
  if (!depth_mm) return kUnknown;
  return us ? fmt::format("{:.2f} in", *depth_mm / base::kMillimetresPerInch)
            : fmt::format("{:.1f} mm", *depth_mm);
}

std::string Units::temperature(std::optional<double> temperature_degc) const {
  if (!temperature_degc) return kUnknown;
  return us ? fmt::format("{:.0f} °F", base::degf_from_degc(*temperature_degc))
            : fmt::format("{:.1f} °C", *temperature_degc);
}

std::string Units::density(std::optional<double> per_ha) const {
  if (!per_ha) return kUnknown;
  return us ? significant(*per_ha * kSquareMetresPerAcre / base::kSquareMetresPerHectare) + " finds/acre"
            : significant(*per_ha) + " finds/ha";
}

std::string Units::in_words(const std::string& text, bool weather) const {
  if (!us) return text;
  static const std::regex kTwoTemperatures(R"((-?\d+(?:\.\d+)?)(-| to )(-?\d+(?:\.\d+)?) °C)"),
      kTemperature(R"((-?\d+(?:\.\d+)?) °C)");
  static const std::regex kRain(R"((\d+(?:\.\d+)?) mm\b)"), kKilometres(R"((\d+(?:\.\d+)?) km\b)"),
      kMetres(R"((-?\d+(?:\.\d+)?) m\b)");
  std::string result = text;
  if (weather) {
    result = rewritten(result, kTwoTemperatures, [](const std::smatch& m) {
      return whole_degf(m[1]) + m[2].str() + whole_degf(m[3]) + " °F";
    });
    result = rewritten(result, kTemperature, [](const std::smatch& m) { return whole_degf(m[1]) + " °F"; });
  }
  result = rewritten(result, kRain, [](const std::smatch& m) {
    return fmt::format("{:.2f} in", std::stod(m[1]) / base::kMillimetresPerInch);
  });
  result = rewritten(result, kKilometres, [](const std::smatch& m) {
    return significant(std::stod(m[1]) * 1000 / base::kMetresPerMile) + " mi";
  });
  return rewritten(result, kMetres, [](const std::smatch& m) {
    return fmt::format("{:.0f} ft", std::stod(m[1]) / base::kMetresPerFoot);
  });
}

std::string finds_words(std::optional<double> median, std::optional<double> low90,
                        std::optional<double> high90) {
  if (!median) return kUnknown;
  std::string text = fmt::format("{:.2f} finds", *median);
  return low90 && high90 ? text + fmt::format(" (90 % band {:.2f} to {:.2f})", *low90, *high90) : text;
}

std::string minutes_words(std::optional<double> minutes) {
  return minutes ? fmt::format("{:.0f} min", *minutes) : kUnknown;
}

std::string clock_words(const std::string& iso) {
  constexpr std::size_t kClockAt = 11, kClockLength = 5;
  return iso.size() >= kClockAt + kClockLength ? iso.substr(kClockAt, kClockLength) : kUnknown;
}

std::string day_words(const std::string& iso_date) {
  static constexpr std::array kNames{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  const auto date = base::parse_date(iso_date);
  if (!date) return iso_date.empty() ? kUnknown : iso_date;
  return iso_date + " " + kNames[std::chrono::weekday(*date).c_encoding()];
}

std::string place_words(std::optional<double> lat_deg, std::optional<double> lon_deg) {
  return lat_deg && lon_deg ? fmt::format("{:.5f},{:.5f}", *lat_deg, *lon_deg) : kUnknown;
}

}  // namespace stumpwise::cli
