#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sample.h"

namespace stumpwise::weather {
namespace {

using testing::HasSubstr;

Series years(int n) {
  Series series;
  series.days = temperate_days(base::make_date(2020, 1, 1), n * 365 + 1, 7);
  return series;
}
void drop(Series& series, Date first, int n) {
  std::erase_if(series.days,
                [&](const Day& day) { return day.date >= first && day.date < base::plus_days(first, n); });
}
const Day& at(const Series& series, Date date) {
  for (const Day& day : series.days)
    if (day.date == date) return day;
  throw Error(ErrorCode::not_found, "no such day");
}

TEST(Gaps, ShortOnesAreFilledAndTheWayIsSaid) {
  Series series = years(4);
  const Date first = base::make_date(2022, 5, 10);
  drop(series, first, 3);
  const double before = *at(series, base::plus_days(first, -1)).tmin_degc,
               after = *at(series, base::plus_days(first, 3)).tmin_degc;
  const auto gaps = fill_gaps(series);
  ASSERT_EQ(gaps.size(), 2u);
  EXPECT_TRUE(gaps[0].filled && gaps[1].filled);
  EXPECT_EQ(gaps[0].first, first);
  EXPECT_EQ(gaps[0].last, base::plus_days(first, 2));
  const Day& second = at(series, base::plus_days(first, 1));
  EXPECT_NEAR(*second.tmin_degc, (before + after) / 2, 1e-9);
  EXPECT_THAT(second.method, HasSubstr("straight line between neighbours"));
  EXPECT_THAT(second.method, HasSubstr("of 3 years of 2020-2023")) << "the own year lends nothing";
}

TEST(Gaps, RainComesFromTheSameDaysOfOtherYears) {
  Series series = years(4);
  const Date gap = base::make_date(2022, 5, 10);
  for (Day& day : series.days)
    if (day.date == gap) day.precip_mm.reset();
  double sum = 0;
  int n = 0;
  for (const Day& day : series.days)
    if (base::year_of(day.date) != 2022 && base::month_of(day.date) == 5 &&
        base::day_of_month(day.date) >= 3 && base::day_of_month(day.date) <= 17)
      sum += *day.precip_mm, ++n;
  const auto gaps = fill_gaps(series);
  ASSERT_EQ(gaps.size(), 1u);
  EXPECT_EQ(gaps[0].element, "precipitation");
  // The leap year's days of the year are shifted by one, so its window is 2 to 16 May.
  EXPECT_NEAR(*at(series, gap).precip_mm, sum / n, 1.0);
  EXPECT_GT(*at(series, gap).precip_mm, 0);
}

TEST(Gaps, LongOnesStayOpenAndAreSaid) {
  Series series = years(4);
  drop(series, base::make_date(2022, 11, 1), 120);
  const auto gaps = fill_gaps(series);
  ASSERT_EQ(gaps.size(), 2u);
  for (const Gap& gap : gaps) {
    EXPECT_FALSE(gap.filled);
    EXPECT_THAT(gap.method, HasSubstr("longer than 5 days"));
    EXPECT_EQ(base::days_between(gap.first, gap.last), 119);
  }
  EXPECT_FALSE(at(series, base::make_date(2022, 12, 24)).mean_degc());
}

TEST(Gaps, RainWithoutOtherYearsAndEndsStayOpen) {
  Series series;
  series.days = temperate_days(base::make_date(2026, 3, 1), 60, 3);
  series.days[20].precip_mm.reset();
  series.days[59].tmin_degc.reset();
  series.days[59].tmax_degc.reset();
  const auto gaps = fill_gaps(series);
  ASSERT_EQ(gaps.size(), 2u);
  EXPECT_THAT(gaps[0].method, HasSubstr("fewer than two other years"));
  EXPECT_THAT(gaps[1].method, HasSubstr("no measured day on both sides"));
  EXPECT_FALSE(series.days[20].precip_mm);
}

TEST(Gaps, AMeasuredExtremeIsKept) {
  Series series;
  series.days = temperate_days(base::make_date(2026, 3, 1), 3, 3);
  series.days[1].tmax_degc.reset();
  series.days[1].tmin_degc = 25;
  fill_gaps(series);
  EXPECT_EQ(series.days[1].tmin_degc, 25);
  EXPECT_GE(*series.days[1].tmax_degc, 25);
}

TEST(Gaps, NothingToFillChangesNothing) {
  Series series = years(1);
  EXPECT_TRUE(fill_gaps(series).empty());
  EXPECT_EQ(series.days.size(), 366u);
  Series empty;
  EXPECT_TRUE(fill_gaps(empty).empty());
}

}  // namespace
}  // namespace stumpwise::weather
