// Days to come: forecast, then past years continued from today's soil.
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <iostream>

#include "states.h"
#include "stumpwise/base/random.h"

namespace stumpwise::season {
namespace {

using base::make_date;
using base::plus_days;

const Date kToday = make_date(2026, 5, 12);

weather::Day day_of(Date date, double tmean_degc, double rain_mm) {
  weather::Day day;
  day.date = date;
  day.tmin_degc = tmean_degc - 5;
  day.tmax_degc = tmean_degc + 5;
  day.precip_mm = rain_mm;
  return day;
}

std::vector<weather::DayState> history(Date today) {
  return states(plus_days(today, -400), today, [](Date d) {
    const double season = std::cos((base::day_of_year(d) - 200) * 2 * 3.14159265 / 365);
    return Weather{9 + 10 * season, base::days_between(make_date(2020, 1, 1), d) % 4 == 0 ? 8.0 : 0.0,
                   9 + 8 * season, 0.5, 0.6};
  });
}

/// Past years that differ: each with its own warmth and rain.
std::vector<std::vector<weather::Day>> members(Date first, int n_days, int n) {
  base::Random random(7);
  std::vector<std::vector<weather::Day>> result;
  for (int m = 0; m < n; ++m) {
    std::vector<weather::Day> days;
    const double warmth = random.normal(12, 4), wet = random.uniform(0.05, 0.5);
    for (int i = 0; i < n_days; ++i)
      days.push_back(day_of(plus_days(first, i), warmth + random.normal(0, 2),
                            random.chance(wet) ? random.gamma(1, 9) : 0));
    result.push_back(days);
  }
  return result;
}

double width(const IndexDay& day) {
  return day.high90 - day.low90;
}

TEST(Outlook, BasisRunsFromObservedToForecastToPastYears) {
  std::vector<weather::Day> forecast;
  for (int i = 1; i <= 3; ++i) forecast.push_back(day_of(plus_days(kToday, i), 14, 2));
  const auto result = outlook(e01(), kTarnwick, history(kToday), forecast,
                              members(plus_days(kToday, 1), 9, 4), 310, plus_days(kToday, -1), 11, 1);
  EXPECT_EQ(result.members, 4);
  ASSERT_EQ(result.days.size(), 11u);
  for (std::size_t i = 0; i < result.days.size(); ++i) {
    const IndexDay& day = result.days[i];
    EXPECT_EQ(day.date, plus_days(kToday, static_cast<int>(i) - 1));
    EXPECT_EQ(day.basis, i < 2 ? Basis::observed : i < 5 ? Basis::forecast : Basis::ensemble);
    EXPECT_LE(day.low90, day.index);
    EXPECT_GE(day.high90, day.index);
    EXPECT_FALSE(day.limit.empty());
  }
  EXPECT_EQ(basis_name(result.days.back().basis), "past years");
}

TEST(Outlook, TodayIsWhatTheObservedDaysSay) {
  const auto past = history(kToday);
  const auto result =
      outlook(e01(), kTarnwick, past, {}, members(plus_days(kToday, 1), 5, 4), 310, kToday, 6, 1);
  const auto alone = index_days(e01(), kTarnwick, past, kToday, kToday, 1);
  ASSERT_FALSE(alone.empty());
  EXPECT_DOUBLE_EQ(result.days.front().index, alone.front().index);
  EXPECT_DOUBLE_EQ(result.days.front().low90, alone.front().low90);
}

TEST(Outlook, BandWidensWithLeadTimeAndAForecastNarrowsIt) {
  // Averaged over species and over days of the year, since a band also follows the level of the index.
  double near = 0, far = 0, told = 0;
  auto t = e01();
  t.season.clear();
  t.visible_days = 10;
  int n = 0;
  for (int start = 0; start < 360; start += 30) {
    const Date today = plus_days(make_date(2026, 1, 1), start);
    const auto past = history(today);
    const auto years = members(plus_days(today, 1), 14, 8);
    // The forecast is one of the years, so its level is no other than theirs on average.
    const auto& forecast = years[static_cast<std::size_t>(n) % years.size()];
    const auto without = outlook(t, kTarnwick, past, {}, years, 310, today, 15, 1).days;
    const auto with = outlook(t, kTarnwick, past, forecast, years, 310, today, 15, 1).days;
    near += width(without[1]);
    far += width(without[14]);
    told += width(with[14]);
    ++n;
  }
  EXPECT_GT(far, near * 1.1);
  EXPECT_LT(told, far * 0.95);
}

TEST(Outlook, GoesOnFromTodaysSoil) {
  // The same days to come after a cold and after a warm soil: the morels tell the difference.
  auto cold = history(kToday), warm = cold;
  for (auto& s : cold) s.soil_degc = 4;
  for (auto& s : warm) s.soil_degc = 12.5;
  const auto years = members(plus_days(kToday, 1), 5, 4);
  EXPECT_LT(outlook(e02(), kTarnwick, cold, {}, years, 310, plus_days(kToday, 3), 1, 1).days.front().index,
            outlook(e02(), kTarnwick, warm, {}, years, 310, plus_days(kToday, 3), 1, 1).days.front().index);
}

TEST(Outlook, RainToComeChangesTheRanking) {
  auto dry_then = [&](double rain_mm) {
    const auto past = states(plus_days(kToday, -200), kToday, [](Date) { return Weather{15, 0, 12, 0.5}; });
    std::vector<weather::Day> forecast;
    for (int i = 1; i <= 10; ++i) forecast.push_back(day_of(plus_days(kToday, i), 15, i == 1 ? rain_mm : 0));
    return outlook(e01(), kTarnwick, past, forecast, {}, 310, kToday, 11, 1).days;
  };
  const auto dry = dry_then(0), wet = dry_then(30);
  ASSERT_EQ(dry.size(), 11u);
  EXPECT_LT(dry.back().index, 0.01);
  EXPECT_GT(wet.back().index, wet.front().index + 0.05);
  EXPECT_LT(wet[2].index, 0.01);  // two days after it nothing has come up yet
}

TEST(Outlook, OldForecastDaysDoNotOverrideWhatWasSeen) {
  const auto past = history(kToday);
  std::vector<weather::Day> stale;
  for (int i = -3; i <= 0; ++i) stale.push_back(day_of(plus_days(kToday, i), -20, 0));
  const auto years = members(plus_days(kToday, 1), 5, 3);
  const auto with = outlook(e01(), kTarnwick, past, stale, years, 310, kToday, 6, 1).days,
             without = outlook(e01(), kTarnwick, past, {}, years, 310, kToday, 6, 1).days;
  ASSERT_EQ(with.size(), without.size());
  for (std::size_t i = 0; i < with.size(); ++i) {
    EXPECT_EQ(with[i].index, without[i].index);
    EXPECT_EQ(with[i].basis, without[i].basis);
  }
}

TEST(Outlook, DaysThatNothingReachesAreLeftOut) {
  const auto past = history(kToday);
  EXPECT_EQ(outlook(e01(), kTarnwick, past, {}, {}, 310, kToday, 5, 1).days.size(), 1u);
  EXPECT_TRUE(outlook(e01(), kTarnwick, {}, {}, {}, 310, kToday, 5, 1).days.empty());
  EXPECT_EQ(outlook(e01(), kTarnwick, {}, {}, members(kToday, 5, 2), 310, kToday, 5, 1).days.size(), 5u);
  EXPECT_TRUE(outlook(e01(), kTarnwick, past, {}, {}, 310, kToday, 0, 1).days.empty());
}

TEST(Outlook, SameAnswerEveryTime) {
  const auto past = history(kToday);
  const auto years = members(plus_days(kToday, 1), 9, 4);
  const auto a = outlook(e01(), kTarnwick, past, {}, years, 310, kToday, 10, 1.5).days,
             b = outlook(e01(), kTarnwick, past, {}, years, 310, kToday, 10, 1.5).days;
  for (std::size_t i = 0; i < a.size(); ++i) {
    EXPECT_EQ(a[i].low90, b[i].low90);
    EXPECT_EQ(a[i].high90, b[i].high90);
    EXPECT_EQ(a[i].limit, b[i].limit);
  }
}

TEST(Outlook, TwelveSpeciesInTwelveBandsAreQuick) {
  // The plan's load: 12 species x 12 height bands, 400 days of history, 10 days x 4 members. Goal 0.3 s; the
  // limit here is loose so that a busy machine or a sanitizer does not fail it.
  const auto past = history(kToday);
  const auto years = members(plus_days(kToday, 1), 10, 4);
  const auto begin = std::chrono::steady_clock::now();
  double sum = 0;
  for (int band = 0; band < 12; ++band)
    for (int species = 0; species < 12; ++species) {
      const auto t = species % 3 == 0 ? e01() : species % 3 == 1 ? e02() : o22();
      weather::Site site = kTarnwick;
      site.elevation_m = 200 + band * 40;
      for (const auto& day : outlook(t, site, past, {}, years, 310, kToday, 11, 1).days) sum += day.index;
    }
  const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  RecordProperty("seconds", std::to_string(seconds));
  std::cout << "144 outlooks: " << seconds << " s\n";
  EXPECT_GT(sum, 0);
  EXPECT_LT(seconds, 5);
}

}  // namespace
}  // namespace stumpwise::season
