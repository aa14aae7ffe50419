#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sample.h"

namespace stumpwise::weather {
namespace {

using testing::HasSubstr;

int faults(const Parsed<Series>& parsed) {
  int n = 0;
  for (const auto& issue : parsed.issues) n += issue.severity == Severity::fault;
  return n;
}
bool has(const Parsed<Series>& parsed, int line, const std::string& field, const std::string& part) {
  for (const auto& issue : parsed.issues)
    if (issue.line == line && issue.field == field && issue.text.find(part) != std::string::npos) return true;
  return false;
}

TEST(ReadCsv, BothLayoutsOfTheContract) {
  const auto extremes =
      read_any(TextFile("date,tmin_c,tmax_c,precip_mm\n2026-05-01,4.5,15,0\n2026-05-02,,,2.5\n").path());
  ASSERT_TRUE(extremes.ok()) << all_issues(extremes.issues);
  ASSERT_EQ(extremes.value.days.size(), 2u);
  EXPECT_EQ(extremes.value.days[0].mean_degc(), 9.75);
  EXPECT_FALSE(extremes.value.days[1].mean_degc());
  EXPECT_EQ(extremes.value.days[1].precip_mm, 2.5);
  const auto means = read_any(TextFile("date,tmean_c,precip_mm\n2026-05-02,11,0\n2026-05-01,10,8\n").path());
  ASSERT_TRUE(means.ok()) << all_issues(means.issues);
  EXPECT_EQ(means.value.days[0].mean_degc(), 10) << "in order of date";
}

TEST(ReadCsv, EveryFaultAtOnceWithItsLine) {
  const auto parsed = read_any(TextFile("date,tmin_c,tmax_c,precip_mm\n"
                                        "2026-05-01,9,3,0\n"
                                        "2026-05-02,1,3,-2\n"
                                        "2026-02-31,1,3,0\n"
                                        "2026-05-04,x,3,0\n"
                                        "2026-05-05,1,3,0\n"
                                        "2026-05-05,1,4,0\n"
                                        "2026-05-06,1,72,0\n"
                                        "2026-05-07,1,3,2500\n"
                                        "0206-05-08,1,3,0\n"
                                        "2026-05-09,1,3\n")
                                   .path());
  EXPECT_EQ(faults(parsed), 9) << all_issues(parsed.issues);
  EXPECT_TRUE(has(parsed, 2, "tmin", "above tmax"));
  EXPECT_TRUE(has(parsed, 3, "precip", "-2 mm: allowed 0"));
  EXPECT_TRUE(has(parsed, 4, "date", "2026-02-31"));
  EXPECT_TRUE(has(parsed, 5, "tmin", "no number"));
  EXPECT_TRUE(has(parsed, 7, "date", "already on line 6"));
  EXPECT_TRUE(has(parsed, 8, "tmax", "72"));
  EXPECT_TRUE(has(parsed, 9, "precip", "2500"));
  EXPECT_TRUE(has(parsed, 10, "date", "years 1700"));
  EXPECT_TRUE(has(parsed, 11, "", "3 cells"));
  for (std::size_t i = 1; i < parsed.issues.size(); ++i)
    EXPECT_LE(parsed.issues[i - 1].line, parsed.issues[i].line);
}

TEST(ReadCsv, MeanOutsideItsExtremesIsAFault) {
  const auto parsed = read_any(
      TextFile("date,tmin_c,tmean_c,tmax_c,precip_mm\n2026-05-01,4,20,15,0\n2026-05-02,4,1,15,0\n").path());
  EXPECT_TRUE(has(parsed, 2, "tmean", "above tmax"));
  EXPECT_TRUE(has(parsed, 3, "tmean", "below tmin"));
}

TEST(ReadCsv, FahrenheitIsSeenAndTheWayOutWorks) {
  const TextFile file(
      "date,tmin,tmax,precip_mm\n2026-07-01,55,88,0\n2026-07-02,60,90,1\n2026-07-03,57,79,0\n");
  const auto parsed = read_any(file.path());
  ASSERT_EQ(faults(parsed), 1) << all_issues(parsed.issues);
  EXPECT_THAT(parsed.issues[0].text, HasSubstr("Fahrenheit"));
  EXPECT_THAT(parsed.issues[0].text, HasSubstr("tmin=NAME:degf"));
  const ColumnMap map = parse_column_map("date=date,tmin=tmin:degf,tmax=tmax:degf,precip=precip_mm");
  const auto mended = read_any(file.path(), &map);
  ASSERT_TRUE(mended.ok()) << all_issues(mended.issues);
  EXPECT_NEAR(*mended.value.days[0].tmin_degc, 12.7778, 1e-4);
}

TEST(ReadCsv, TenthsAndKelvinAreSeen) {
  const auto tenths =
      read_any(TextFile("date,tmin,tmax,precip_mm\n2026-07-01,102,251,0\n2026-07-02,98,230,1\n").path());
  EXPECT_THAT(all_issues(tenths.issues), HasSubstr("tmin=NAME:tenth_degc"));
  const auto kelvin =
      read_any(TextFile("date,tmean,precip_mm\n2026-07-01,288.1,0\n2026-07-02,290.4,1\n").path());
  EXPECT_THAT(all_issues(kelvin.issues), HasSubstr("kelvin"));
}

TEST(ReadCsv, RainInInchesIsAWarning) {
  std::string text = "date,tmean_c,precip_mm\n";
  for (int i = 0; i < 400; ++i)
    text += base::to_text(base::plus_days(base::make_date(2024, 1, 1), i)) + ",10," +
            (i % 3 == 0 ? "0.25" : "0") + "\n";
  const auto parsed = read_any(TextFile(text).path());
  EXPECT_TRUE(parsed.ok());
  EXPECT_THAT(all_issues(parsed.issues), HasSubstr("precip=NAME:in"));
}

TEST(ReadCsv, MissingColumnsSayWhatIsKnownAndWhatIsThere) {
  const auto parsed = read_any(TextFile("day_of_rain,water\n2026-05-01,3\n").path());
  const std::string text = all_issues(parsed.issues);
  EXPECT_EQ(faults(parsed), 3) << text;
  EXPECT_THAT(text, HasSubstr("tmin_c"));
  EXPECT_THAT(text, HasSubstr("prcp_mm"));
  EXPECT_THAT(text, HasSubstr("there are: day_of_rain, water"));
  const ColumnMap map = parse_column_map("date=day_of_rain,tmean=heat,precip=water");
  const auto mapped = read_any(TextFile("day_of_rain,water\n2026-05-01,3\n").path(), &map);
  EXPECT_THAT(all_issues(mapped.issues), HasSubstr("no column \"heat\""));
}

TEST(ReadCsv, EmptyAndHeaderOnlyAndUnreadable) {
  EXPECT_THAT(all_issues(read_any(TextFile("").path()).issues), HasSubstr("empty"));
  EXPECT_THAT(all_issues(read_any(TextFile("date,tmean_c,precip_mm\n").path()).issues),
              HasSubstr("holds no day"));
  EXPECT_THROW(read_any("/nowhere/weather.csv"), Error);
  EXPECT_THROW(read_any(testing::TempDir()), Error);
}

TEST(ReadCsv, HugeFileIsRefusedBeforeItIsRead) {
  const TextFile file("date,tmean_c,precip_mm\n");
  std::filesystem::resize_file(file.path(), std::uintmax_t{65} << 20);
  EXPECT_THROW(read_any(file.path()), Error);
}

TEST(ReadCsv, OtherDressOfTheSameTable) {
  const auto parsed =
      read_any(TextFile("\xEF\xBB\xBF"
                        "Date;Tmean_C;Precip_mm\r\n20260501;10.5;T\r\n2026-05-02T00:00;NA;1\r\n")
                   .path());
  ASSERT_TRUE(parsed.ok()) << all_issues(parsed.issues);
  EXPECT_EQ(parsed.value.days[0].precip_mm, 0);
  EXPECT_FALSE(parsed.value.days[1].tmean_degc);
  EXPECT_THAT(all_issues(parsed.issues), HasSubstr("1 traces"));
  const auto comma = read_any(TextFile("date;tmean_c;precip_mm\n2026-05-01;10,5;0\n").path());
  EXPECT_THAT(all_issues(comma.issues), HasSubstr("decimal point"));
  EXPECT_THAT(all_issues(read_any(TextFile("date,tmean_c,precip_mm\n12/05/2026,10,0\n").path()).issues),
              HasSubstr("YYYY-MM-DD"));
}

TEST(ColumnMapText, WordsUnitsAndTheirFaults) {
  const ColumnMap map = parse_column_map(
      "date=DATE, tmin=TMIN:degf,tmax=tmax_f,precip=PRCP:in,wind=W:km_per_h,missing=-99,missing=x");
  EXPECT_EQ(map.columns.at("tmin").unit, "degf");
  EXPECT_EQ(map.columns.at("tmax").unit, "degf") << "the name says it";
  EXPECT_EQ(map.missing.size(), 2u);
  auto message = [](const std::string& text) {
    try {
      parse_column_map(text);
    } catch (const Error& error) {
      return error.full_text();
    }
    return std::string("accepted");
  };
  EXPECT_THAT(message("date=D,tmin=T:mm"), HasSubstr("Known for tmin: degc, degf"));
  EXPECT_THAT(message("date=D,heat=T"), HasSubstr("tmean"));
  EXPECT_THAT(message("tmin=T"), HasSubstr("date=NAME is missing"));
  EXPECT_THAT(message("date=D,tmin=A,tmin=B"), HasSubstr("twice"));
  EXPECT_THAT(message("date"), HasSubstr("FIELD=NAME"));
  EXPECT_THAT(message("date="), HasSubstr("names no column"));
}

TEST(ForecastDays, ReadsAndRefuses) {
  const auto days = parse_forecast_days(" 4/15/0  -6/17/8.5\t1/2/0", base::make_date(2026, 2, 28));
  ASSERT_EQ(days.size(), 3u);
  EXPECT_EQ(base::to_text(days[1].date), "2026-03-01");
  EXPECT_EQ(days[1].tmin_degc, -6);
  EXPECT_EQ(days[1].precip_mm, 8.5);
  for (const char* bad : {"", "4/15", "4/15/0/1", "15/4/0", "4/15/-1", "4/99/0", "a/b/c", "4/15/nan"})
    EXPECT_THROW(parse_forecast_days(bad, base::make_date(2026, 5, 1)), Error) << bad;
  std::string many;
  for (int i = 0; i < 31; ++i) many += "4/15/0 ";
  EXPECT_THROW(parse_forecast_days(many, base::make_date(2026, 5, 1)), Error);
}

}  // namespace
}  // namespace stumpwise::weather
