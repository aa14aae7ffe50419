// Weather files: the real ones beside the checkout (facts from their own notes) and hostile ones.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>

#include "stumpwise/base/files.h"
#include "stumpwise/weather/read.h"
#include "stumpwise/weather/site.h"

namespace stumpwise::weather {
namespace {

std::filesystem::path shared() {
  if (const char* given = std::getenv("STUMPWISE_SHARED")) return given;
  return std::filesystem::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
}

struct Summary { int n = 0; double low = 1e9, high = -1e9, sum = 0; };
template <class Get>
Summary summary(const Series& series, Get get) {
  Summary s;
  for (const Day& day : series.days) {
    if (const std::optional<double> value = get(day)) {
      ++s.n;
      s.low = std::min(s.low, *value);
      s.high = std::max(s.high, *value);
      s.sum += *value;
    }
  }
  return s;
}

TEST(GhcnDly, CentralParkFacts) {
  const auto path = shared() / "data/weather/USW00094728.dly";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "no data/weather";
  const auto parsed = read_any(path.string());
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  const Summary rain = summary(parsed.value, [](const Day& d) { return d.precip_mm; });
  const Summary tmax = summary(parsed.value, [](const Day& d) { return d.tmax_degc; });
  const Summary depth = summary(parsed.value, [](const Day& d) { return d.snow_depth_mm; });
  EXPECT_EQ(rain.n, 14613);
  EXPECT_NEAR(rain.sum / rain.n, 3.4791487, 1e-6);
  EXPECT_NEAR(rain.high, 192.3, 1e-9);
  EXPECT_EQ(tmax.n, 14613);
  EXPECT_NEAR(tmax.sum / tmax.n, 17.1862793, 1e-6);
  EXPECT_NEAR(tmax.low, -12.8, 1e-9);
  EXPECT_EQ(depth.n, 13776);
  EXPECT_NEAR(depth.high, 584, 1e-9);
}

TEST(GhcnCsv, RoanokeComesInFahrenheitAndInches) {
  const auto path = shared() / "data/place/carvins-cove/USW00013741-daily.csv";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "no data/place";
  const auto parsed = read_any(path.string());
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  EXPECT_NEAR(parsed.value.station.elevation_m, 346.7, 1e-9);
  const Summary tmax = summary(parsed.value, [](const Day& d) { return d.tmax_degc; });
  EXPECT_EQ(tmax.n, 3433);
  EXPECT_NEAR(tmax.sum / tmax.n, (69.20594 - 32) / 1.8, 1e-4);
  const Summary rain = summary(parsed.value, [](const Day& d) { return d.precip_mm; });
  EXPECT_NEAR(rain.sum / rain.n, 0.12509 * 25.4, 1e-3);
}

Parsed<Series> read_text(const std::string& text, const ColumnMap* columns = nullptr) {
  const base::TemporaryFolder folder;
  base::write_file_atomic(folder.path() / "w.csv", text);
  return read_any((folder.path() / "w.csv").string(), columns);
}

TEST(Csv, EveryFaultAtOnceWithItsLine) {
  const auto parsed = read_text("date,tmin_c,tmax_c,precip_mm\n2026-01-01,5,2,0\n2026-02-31,1,2,0\n2026-01-02,1,2,-3\n2026-01-02,1,2,0\n2026-01-03,x,2,0\n");
  std::vector<int> lines;
  for (const auto& issue : parsed.issues) lines.push_back(issue.line);
  EXPECT_THAT(lines, testing::UnorderedElementsAre(2, 3, 4, 5, 6));
}

TEST(Csv, FahrenheitIsBetrayedAndConverted) {
  std::string text = "date,tmin,tmax,precip_mm\n";
  for (int day = 1; day <= 9; ++day) text += "2026-07-0" + std::to_string(day) + ",50,59,1\n";
  EXPECT_FALSE(read_text(text).ok());
  const ColumnMap columns = parse_column_map("date=date,tmin=tmin:degf,tmax=tmax:degf,precip=precip_mm:mm");
  const auto parsed = read_text(text, &columns);
  ASSERT_TRUE(parsed.ok());
  EXPECT_NEAR(*parsed.value.days[0].tmax_degc, 15, 1e-9);
}

TEST(Csv, MeansAloneAreEnoughAndEmptyIsNot) {
  EXPECT_TRUE(read_text("date,tmean_c,precip_mm\n2026-01-01,5,2\n").ok());
  EXPECT_FALSE(read_text("").ok());
  EXPECT_FALSE(read_text("date,tmean_c,precip_mm\n").ok());
  EXPECT_FALSE(read_text("when,warm\n2026-01-01,5\n").ok());
  EXPECT_THROW(parse_column_map("tmin=A"), Error);
  EXPECT_THROW(parse_column_map("date=A,tmin=B:kelvins"), Error);
}

TEST(Gaps, ShortOnesAreFilledAndLongOnesLeft) {
  Series series;
  for (int i = 0; i < 40; ++i) {
    if ((i > 4 && i < 8) || (i > 15 && i < 30)) continue;
    Day day;
    day.date = base::plus_days(base::make_date(2026, 1, 1), i);
    day.tmin_degc = i;
    day.tmax_degc = i + 2.0;
    day.precip_mm = 1;
    series.days.push_back(day);
  }
  const auto gaps = fill_gaps(series);
  ASSERT_EQ(gaps.size(), 4u);
  EXPECT_TRUE(gaps[0].filled);
  EXPECT_NEAR(*series.days[6].tmin_degc, 6, 1e-9);
  EXPECT_FALSE(gaps[1].filled);
  EXPECT_FALSE(gaps[2].filled) << "rain needs two other years";
}

TEST(Forecast, TypedDays) {
  const auto days = parse_forecast_days("4/15/0 6/17/8.5", base::make_date(2026, 5, 13));
  ASSERT_EQ(days.size(), 2u);
  EXPECT_EQ(base::to_text(days[1].date), "2026-05-14");
  EXPECT_NEAR(*days[1].precip_mm, 8.5, 1e-12);
  for (const char* wrong : {"", "4/15", "15/4/0", "4/15/-1", "a/b/c"}) EXPECT_THROW(parse_forecast_days(wrong, base::make_date(2026, 1, 1)), Error) << wrong;
}

TEST(Site, ContinuingIsTheSameAsRunningThroughAndWaterStaysInBounds) {
  Series series;
  series.station.elevation_m = 300;
  for (int i = 0; i < 200; ++i) {
    Day day;
    day.date = base::plus_days(base::make_date(2026, 1, 1), i);
    day.tmin_degc = -8 + i * 0.1;
    day.tmax_degc = 2 + i * 0.12;
    day.precip_mm = i % 4 == 0 ? 9 : 0;
    series.days.push_back(day);
  }
  Site site;
  site.place = {.lat_deg = 42, .lon_deg = -30};
  site.elevation_m = 420;
  const auto through = run_site(series, site);
  Series first{series.station, {series.days.begin(), series.days.begin() + 120}};
  const auto start = run_site(first, site);
  const auto rest = continue_site(start.back(), {series.days.begin() + 120, series.days.end()}, 300, site);
  EXPECT_DOUBLE_EQ(through.back().soil_degc, rest.back().soil_degc);
  EXPECT_DOUBLE_EQ(through.back().soil_water, rest.back().soil_water);
  EXPECT_DOUBLE_EQ(through.back().degree_days, rest.back().degree_days);
  for (const DayState& state : through) {
    EXPECT_GE(state.soil_water, 0);
    EXPECT_LE(state.soil_water, 1);
    EXPECT_GE(state.snow_mm, 0);
    EXPECT_GE(state.et0_mm, 0);
  }
}

TEST(Station, FarOnesAreSaid) {
  const Station station{"x", "Far", {.lat_deg = 42, .lon_deg = -31}, 300};
  EXPECT_TRUE(station_fit(station, {.lat_deg = 42, .lon_deg = -30}, 310).far);
  EXPECT_GT(station_fit(station, {.lat_deg = 42, .lon_deg = -30}, 310).band_factor, 1);
  EXPECT_FALSE(station_fit(station, {.lat_deg = 42, .lon_deg = -31}, 310).far);
  EXPECT_TRUE(station_fit(station, {.lat_deg = 42, .lon_deg = -31}, 700).far);
}

}  // namespace
}  // namespace stumpwise::weather
