#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>

#include "sample.h"

namespace stumpwise::weather {
namespace {

using testing::HasSubstr;

/// A line of a .dly file with the same cell on every day that the month has.
std::string dly_line(const std::string& element, int year, int month, int days, const std::string& cell) {
  std::string line = fmt::format("USW00094728{:04d}{:02d}{}", year, month, element);
  for (int d = 1; d <= 31; ++d) line += d <= days ? cell : "-9999   ";
  return line;
}

TEST(GhcnDly, UnitsFlagsAndTraces) {
  std::string rain = dly_line("PRCP", 2020, 2, 29, "   25  W");
  rain.replace(21 + 8, 8, "  300 XW");   // day 2 failed its check
  rain.replace(21 + 16, 8, "    0T W");  // day 3: a trace
  const auto parsed = read_any(TextFile(rain + "\r\n" + dly_line("TMAX", 2020, 2, 29, "  -15  W") + "\n" +
                                        dly_line("TMIN", 2020, 2, 29, "  -80  W") + "\n")
                                   .path());
  ASSERT_TRUE(parsed.ok()) << all_issues(parsed.issues);
  ASSERT_EQ(parsed.value.days.size(), 29u);
  EXPECT_EQ(parsed.value.station.id, "USW00094728");
  EXPECT_DOUBLE_EQ(*parsed.value.days[0].precip_mm, 2.5);
  EXPECT_FALSE(parsed.value.days[1].precip_mm);
  EXPECT_EQ(parsed.value.days[2].precip_mm, 0);
  EXPECT_DOUBLE_EQ(*parsed.value.days[0].tmax_degc, -1.5);
  EXPECT_THAT(all_issues(parsed.issues), HasSubstr("1 values failed"));
  EXPECT_THAT(all_issues(parsed.issues), HasSubstr("1 traces"));
}

TEST(GhcnDly, FaultsWithTheirLines) {
  const std::string good = dly_line("PRCP", 2020, 2, 29, "   25  W");
  std::string february31 = dly_line("TMAX", 2020, 2, 29, "  100  W");
  february31.replace(21 + 30 * 8, 8, "  100  W");
  std::string other = dly_line("TMIN", 2020, 2, 29, "   10  W");
  other[10] = '9';
  std::string letters = dly_line("TMIN", 2020, 3, 31, "   10  W");
  letters.replace(21, 5, " 1O0 ");
  const auto parsed = read_any(TextFile(good + "\n" + february31 + "\n" + other + "\n" + letters + "\n" +
                                        good + "\n" + good.substr(0, 100))
                                   .path());
  const std::string text = all_issues(parsed.issues);
  EXPECT_THAT(text, HasSubstr(":2: date: 2020-02-31 is no day"));
  EXPECT_THAT(text, HasSubstr(":3: station: the file holds more than one"));
  EXPECT_THAT(text, HasSubstr(":4: TMIN: \" 1O0 \" of day 1"));
  EXPECT_THAT(text, HasSubstr(":5: PRCP: 2020-02-01 has a value already"));
  EXPECT_THAT(text, HasSubstr(":6: a line of 100 characters"));
}

TEST(GhcnDly, ContradictionsOfTheArchiveAreLeftOut) {
  const auto parsed = read_any(TextFile(dly_line("TMAX", 2020, 2, 29, "   10  W") + "\n" +
                                        dly_line("TMIN", 2020, 2, 29, "   80  W") + "\n" +
                                        dly_line("PRCP", 2020, 2, 29, "    0  W") + "\n")
                                   .path());
  ASSERT_TRUE(parsed.ok()) << all_issues(parsed.issues);
  EXPECT_FALSE(parsed.value.days[0].tmin_degc);
  EXPECT_THAT(all_issues(parsed.issues), HasSubstr("29 days have temperatures that contradict"));
}

TEST(GhcnCsv, ByStationWithAndWithoutHeader) {
  const std::string rows =
      "USW00094728,20200229,PRCP,25,,,W,2400\nUSW00094728,20200229,TMAX,105,,,W,\nUSW00094728,20200229,TMIN,-"
      "11,,I,W,\nUSW00094728,20200229,WT01,1,,,W,\n";
  for (const std::string& header :
       {std::string(), std::string("ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n")}) {
    const auto parsed = read_any(TextFile(header + rows).path());
    ASSERT_TRUE(parsed.ok()) << all_issues(parsed.issues);
    ASSERT_EQ(parsed.value.days.size(), 1u);
    EXPECT_DOUBLE_EQ(*parsed.value.days[0].precip_mm, 2.5);
    EXPECT_DOUBLE_EQ(*parsed.value.days[0].tmax_degc, 10.5);
    EXPECT_FALSE(parsed.value.days[0].tmin_degc);
  }
  const auto bad = read_any(TextFile("USW00094728,20200231,PRCP,25,,,W,\nUSW00094728,20200301,PRCP,x,,,W,"
                                     "\nUSW00094728,20200302\nUSW00000002,20200303,PRCP,1,,,W,\n")
                                .path());
  const std::string text = all_issues(bad.issues);
  EXPECT_THAT(text, HasSubstr(":1: date:"));
  EXPECT_THAT(text, HasSubstr(":2: PRCP:"));
  EXPECT_THAT(text, HasSubstr(":3: 2 cells"));
  EXPECT_THAT(text, HasSubstr(":4: station:"));
}

TEST(GhcnCsv, AccessUnitsAreToldFromTheValues) {
  auto read = [](const std::string& rain, const std::string& high, const std::string& low) {
    return read_any(
        TextFile("\"STATION\",\"NAME\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"DATE\",\"PRCP\",\"PRCP_"
                 "ATTRIBUTES\",\"TMAX\",\"TMIN\"\n"
                 "\"USW00013741\",\"A PLACE, VA US\",\"37.3\",\"-79.9\",\"346.7\",\"2016-01-01\",\"" +
                 rain + "\",\",,W\",\"" + high + "\",\"" + low + "\"\n")
            .path());
  };
  const auto us = read("0.25", "44", "35");
  ASSERT_TRUE(us.ok()) << all_issues(us.issues);
  EXPECT_NEAR(*us.value.days[0].precip_mm, 6.35, 1e-9);
  EXPECT_NEAR(*us.value.days[0].tmax_degc, 6.6667, 1e-4);
  EXPECT_THAT(all_issues(us.issues), HasSubstr("taken as °F and inches"));
  EXPECT_EQ(us.value.station.name, "A PLACE, VA US");
  EXPECT_EQ(us.value.station.elevation_m, 346.7);
  const auto tenths = read("64", "67", "17");
  EXPECT_NEAR(*tenths.value.days[0].precip_mm, 6.4, 1e-9);
  EXPECT_NEAR(*tenths.value.days[0].tmax_degc, 6.7, 1e-9);
  const auto metric = read("6.4", "6.7", "1.7");
  EXPECT_NEAR(*metric.value.days[0].precip_mm, 6.4, 1e-9);
  EXPECT_NEAR(*metric.value.days[0].tmax_degc, 6.7, 1e-9);
  EXPECT_FALSE(read("0", "44", "35").ok()) << "one dry day of 44 by 35 may be anything: asked, not guessed";
}

// Counts, extremes and means as the README of the shared file states them (quality-flagged values dropped).
struct Fact {
  const char* name;
  std::optional<double> Day::*field;
  double unit;
  int values;
  double min, max, mean;
};

void expect_facts(const Series& series, const std::vector<Fact>& facts,
                  const std::function<double(double, const Fact&)>& back, double tolerance) {
  for (const Fact& fact : facts) {
    int n = 0;
    double low = 1e9, high = -1e9, sum = 0;
    for (const Day& day : series.days)
      if (const auto& value = day.*fact.field) {
        const double v = back(*value, fact);
        low = std::min(low, v), high = std::max(high, v), sum += v, ++n;
      }
    EXPECT_EQ(n, fact.values) << fact.name;
    EXPECT_NEAR(low, fact.min, 1e-6) << fact.name;
    EXPECT_NEAR(high, fact.max, 1e-6) << fact.name;
    EXPECT_NEAR(sum / n, fact.mean, tolerance) << fact.name;
  }
}

TEST(RealStation, CentralPark) {
  const auto path = shared_data() / "weather" / "USW00094728.dly";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "shared data weather/USW00094728.dly is not here";
  const auto parsed = read_any(path.string());
  ASSERT_TRUE(parsed.ok()) << all_issues(parsed.issues);
  expect_facts(
      parsed.value,
      {{"PRCP", &Day::precip_mm, 10, 14613, 0, 1923, 34.791487},
       {"SNOW", &Day::snowfall_mm, 1, 14610, 0, 693, 1.911088},
       {"SNWD", &Day::snow_depth_mm, 1, 13776, 0, 584, 7.249564},
       {"TMAX", &Day::tmax_degc, 10, 14613, -128, 400, 171.862793},
       {"TMIN", &Day::tmin_degc, 10, 14613, -189, 289, 90.157531}},
      [](double v, const Fact& f) { return v * f.unit; }, 1e-6);
  const std::string notes = all_issues(parsed.issues);
  EXPECT_THAT(notes, HasSubstr("6 values failed"));
  EXPECT_THAT(notes, HasSubstr("2155 traces"));
}

TEST(RealStation, RoanokeInFahrenheitAndInches) {
  const auto path = shared_data() / "place" / "carvins-cove" / "USW00013741-daily.csv";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "shared data place/carvins-cove is not here";
  const auto parsed = read_any(path.string());
  ASSERT_TRUE(parsed.ok()) << all_issues(parsed.issues);
  EXPECT_EQ(parsed.value.station.elevation_m, 346.7);
  expect_facts(
      parsed.value,
      {{"PRCP", &Day::precip_mm, 25.4, 3433, 0, 3.14, 0.12509},
       {"SNOW", &Day::snowfall_mm, 25.4, 3433, 0, 15, 0.02898},
       {"SNWD", &Day::snow_depth_mm, 25.4, 3433, 0, 15, 0.06181},
       {"TMAX", &Day::tmax_degc, 0, 3433, 20, 103, 69.20594},
       {"TMIN", &Day::tmin_degc, 0, 3433, 3, 78, 48.75153}},
      [](double v, const Fact& f) { return f.unit == 0 ? v * 1.8 + 32 : v / f.unit; }, 1e-5);
  EXPECT_THAT(all_issues(parsed.issues), HasSubstr("602 traces")) << "450 + 127 + 25";
}

TEST(RealStation, SagehenAsPlainCsv) {
  const auto path = shared_data() / "place" / "sagehen" / "weather-daily.csv";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "shared data place/sagehen is not here";
  const auto parsed = read_any(path.string());
  ASSERT_TRUE(parsed.ok()) << all_issues(parsed.issues);
  EXPECT_EQ(parsed.value.days.size(), 19631u);
  expect_facts(
      parsed.value,
      {{"tmin", &Day::tmin_degc, 1, 10202, -36.1, 15.6, -3.7335},
       {"tmax", &Day::tmax_degc, 1, 10294, -15, 35.6, 14.2647},
       {"prcp", &Day::precip_mm, 1, 18466, 0, 139.192, 2.3541}},
      [](double v, const Fact&) { return v; }, 5e-5);
}

}  // namespace
}  // namespace stumpwise::weather
