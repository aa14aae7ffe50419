// Sense on real weather: New York Central Park (GHCN-Daily), fifteen years. Months of fruiting are those of
// the domain paper's guild rows (the-job.md E and G), wide enough that only a wrong model misses them; no
// skill is claimed here.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>

#include "states.h"
#include "stumpwise/weather/read.h"

namespace stumpwise::season {
namespace {

/// STUMPWISE_SHARED names the shared folder or its data folder.
std::filesystem::path station_file() {
  const char* given = std::getenv("STUMPWISE_SHARED");
  const std::filesystem::path root = given ? given : STUMPWISE_SOURCE_DIR "/../shared";
  const auto inside = root / "data/weather/USW00094728.dly";
  return std::filesystem::exists(inside) ? inside : root / "weather/USW00094728.dly";
}

class RealWeather : public testing::Test {
 protected:
  void SetUp() override {
    const auto file = station_file();
    if (!std::filesystem::exists(file)) GTEST_SKIP() << "weather/USW00094728.dly is not there";
    weather::Series series = weather::read_any(file.string()).value;
    series.station.place = {.lat_deg = 40.7789, .lon_deg = -73.9692};
    series.station.elevation_m = 42.7;
    std::erase_if(series.days,
                  [](const weather::Day& day) { return day.date < base::make_date(2004, 12, 1); });
    weather::fill_gaps(series);
    site_.place = series.station.place;
    site_.elevation_m = series.station.elevation_m;
    states_ = weather::run_site(series, site_);
    ASSERT_GT(states_.size(), 5000u);
  }

  /// Mean index by month, 1 to 12, after the first year.
  std::array<double, 13> months(const species::Triggers& triggers) const {
    const auto series = index_series(triggers, site_, states_);
    std::array<double, 13> sum{}, n{};
    for (std::size_t i = 365; i < series.size(); ++i) {
      sum[base::month_of(states_[i].date)] += series[i];
      n[base::month_of(states_[i].date)] += 1;
    }
    for (std::size_t m = 1; m <= 12; ++m) sum[m] /= n[m];
    return sum;
  }
  static unsigned best(const std::array<double, 13>& m) {
    return static_cast<unsigned>(std::max_element(m.begin() + 1, m.end()) - m.begin());
  }

  weather::Site site_;
  std::vector<weather::DayState> states_;
};

TEST_F(RealWeather, EachGuildHasItsMonths) {
  const auto spring = months(e01()), morels = months(e02()), hen = months(e07()), honey = months(o18()),
             velvet = months(o22());
  EXPECT_TRUE(best(spring) == 4 || best(spring) == 5) << best(spring);
  EXPECT_TRUE(best(morels) == 4 || best(morels) == 5) << best(morels);
  EXPECT_TRUE(best(hen) == 9 || best(hen) == 10) << best(hen);
  EXPECT_TRUE(best(honey) == 10 || best(honey) == 11) << best(honey);
  EXPECT_TRUE(best(velvet) == 12 || best(velvet) == 1) << best(velvet);
  EXPECT_LT(spring[1], 0.02);
  EXPECT_LT(hen[5], 0.02);
  EXPECT_LT(velvet[7], 0.02);
}

TEST_F(RealWeather, YearsDiffer) {
  // What the index adds to the calendar: the same week of May in fifteen years.
  const auto series = index_series(e01(), site_, states_);
  double least = 1, most = 0;
  for (std::size_t i = 365; i < series.size(); ++i) {
    if (base::month_of(states_[i].date) != 5 || base::day_of_month(states_[i].date) != 12) continue;
    least = std::min(least, series[i]);
    most = std::max(most, series[i]);
  }
  EXPECT_GT(most, 1.5 * least);
  EXPECT_LE(most, 1);
}

}  // namespace
}  // namespace stumpwise::season
