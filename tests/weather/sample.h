#pragma once
#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

#include "stumpwise/base/files.h"
#include "stumpwise/base/random.h"
#include "stumpwise/weather/read.h"

namespace stumpwise::weather {

/// A file of its own with the given text, removed at the end.
class TextFile {
 public:
  explicit TextFile(const std::string& text, const std::string& name = "weather.csv")
      : path_((folder_.path() / name).string()) {
    base::write_file_atomic(path_, text);
  }
  const std::string& path() const { return path_; }

 private:
  base::TemporaryFolder folder_;
  std::string path_;
};

inline Day make_day(Date date, double tmin_degc, double tmax_degc, double precip_mm) {
  Day day;
  day.date = date;
  day.tmin_degc = tmin_degc;
  day.tmax_degc = tmax_degc;
  day.precip_mm = precip_mm;
  return day;
}

/// Weather of a temperate place: a yearly wave, rain on a third of the days.
inline std::vector<Day> temperate_days(Date first, int n, std::uint64_t seed, double precip_factor = 1) {
  base::Random random(seed);
  std::vector<Day> days;
  for (int i = 0; i < n; ++i) {
    const Date date = base::plus_days(first, i);
    const double mean = 9 - 9 * std::cos(2 * 3.14159265 * (base::day_of_year(date) - 20) / 365.25) +
                        random.normal(0, 3),
                 half = random.uniform(2, 7);
    const double rain = random.chance(1.0 / 3) ? random.gamma(0.8, 8) : 0;
    days.push_back(make_day(date, mean - half, mean + half, rain * precip_factor));
  }
  return days;
}

/// The folder of shared data, which may be absent.
inline std::filesystem::path shared_data() {
  const char* given = std::getenv("STUMPWISE_SHARED");
  return (given ? std::filesystem::path(given)
                : std::filesystem::path(STUMPWISE_SOURCE_DIR) / ".." / "shared") /
         "data";
}

inline std::string all_issues(const std::vector<base::Issue>& issues) {
  return base::to_text(issues);
}

}  // namespace stumpwise::weather
