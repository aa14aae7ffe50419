// The index over days: what it means, its properties, the words.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "states.h"

namespace stumpwise::season {
namespace {

using base::make_date;
using base::plus_days;
using testing::HasSubstr;
using testing::Not;

const Date kMay12 = make_date(2026, 5, 12), kJan12 = make_date(2026, 1, 12);

double index_on(const species::Triggers& t, const std::vector<weather::DayState>& s) {
  return index_series(t, kTarnwick, s).back();
}

std::vector<weather::DayState> perfect(Date first, Date last) {
  return states(first, last, [](Date) { return Weather{15, 60, 12.5, 1, 1}; });
}

TEST(ScenarioH1, MayRanksTheSpringPolyporeFirst) {
  const auto s = h1_states(kMay12, 10, {11, 12, 14, 15, 16, 17, 17}, 13);
  const double spring = index_on(e01(), s);
  EXPECT_GT(spring, index_on(o18(), s));
  EXPECT_GT(spring, index_on(o22(), s));
  EXPECT_GT(spring, index_on(e07(), s));
  EXPECT_GT(spring, 0.3);
  EXPECT_GT(index_on(e02(), s), 0.1);
}

TEST(ScenarioH1, JanuaryHasItBelowTheVelvetStem) {
  const auto s = h1_states(kJan12, 3, {1, 2, 3, 4, 5, 4, 3}, 3);
  EXPECT_LE(index_on(e01(), s), 0.05);
  EXPECT_GT(index_on(o22(), s), index_on(e01(), s));
  EXPECT_GT(index_on(o22(), s), 0.05);
}

TEST(Index, PerfectYearReachesOneNearTheProfilesPeak) {
  for (const auto& t : {e01(), e02(), o22()}) {
    auto wet = t;
    wet.t_min_degc = 5, wet.t_opt_degc = 15, wet.t_max_degc = 25;
    wet.temperature_of = species::TemperatureOf::air;
    const auto series = index_series(wet, kTarnwick, perfect(make_date(2024, 1, 1), make_date(2025, 12, 31)));
    const auto best = std::max_element(series.begin() + 366, series.end());
    EXPECT_GT(*best, 0.97);
    const Date peak = plus_days(make_date(2024, 1, 1), static_cast<int>(best - series.begin()));
    double season_best = 0;
    Date season_peak{};
    for (int d = 0; d < 365; ++d) {
      const Date day = plus_days(make_date(2025, 1, 1), d);
      const double r = season_response(t, day, 42, 310);
      if (r > season_best) season_best = r, season_peak = day;
    }
    EXPECT_LE(std::abs(base::days_between(season_peak, peak)), 3) << base::to_text(peak);
  }
}

TEST(Index, RisesWithTheLagAndFadesWithTheLifetime) {
  auto t = e01();
  t.season.clear();  // the year taken out
  const Date rain = make_date(2026, 5, 1);
  const auto s = states(plus_days(rain, -120), plus_days(rain, 120), [&](Date d) {
    return Weather{15, d == rain ? 60.0 : 0.0};
  });
  const auto series = index_series(t, kTarnwick, s);
  auto at = [&](int days) { return series[static_cast<std::size_t>(120 + days)]; };
  EXPECT_EQ(at(0), 0);
  EXPECT_EQ(at(2), 0);  // nothing before the shortest lag
  EXPECT_GT(at(3), 0);
  EXPECT_GT(at(10), at(3));  // more comes up through the lag window
  EXPECT_GT(at(12), 0.15);
  EXPECT_GT(at(25), 0.1);  // still standing weeks later
  EXPECT_LT(at(25), at(12));
  EXPECT_LT(at(100), 0.005);  // and gone in the end
}

TEST(Index, FrostEndsSoftBodiesAndNotThoseOfWood) {
  auto soft = e02();
  soft.season.clear();
  auto hard = soft;
  hard.frost_kill_degc.reset();
  const Date frost = make_date(2026, 5, 1);
  auto run = [&](double range_degc) {
    return states(plus_days(frost, -80), plus_days(frost, 12), [&](Date d) {
      Weather w{12, 10, 12.5};
      if (d == frost) w.range_degc = range_degc;
      return w;
    });
  };
  const auto cold = run(40), mild = run(33);  // nights of -8 and -4.5 degrees
  const auto killed = index_series(soft, kTarnwick, cold), thinned = index_series(soft, kTarnwick, mild),
             spared = index_series(hard, kTarnwick, cold);
  EXPECT_GT(killed[79], 0.5);
  EXPECT_EQ(killed[80], 0);
  EXPECT_NEAR(thinned[80], spared[80] * 0.5, 0.02);  // 1.5 of the three degrees
  EXPECT_GT(killed.back(), 0.1);                     // new ones come after it
  EXPECT_LT(killed.back(), spared.back());
}

TEST(Index, EachWaterSourceIsReadFromItsOwnState) {
  const Date last = make_date(2026, 5, 12);
  auto run = [&](Weather w) { return states(plus_days(last, -100), last, [w](Date) { return w; }); };
  auto t = e01();
  t.season.clear();
  auto level = [&](species::WaterOf of, const Weather& w) {
    t.water_of = of;
    return index_on(t, run(w));
  };
  const Weather rain{15, 10, 10, 0, 0}, log{15, 0, 10, 0.9, 0}, soil{15, 0, 10, 0, 0.9};
  EXPECT_GT(level(species::WaterOf::antecedent_rain, rain), 0.9);
  EXPECT_LT(level(species::WaterOf::antecedent_rain, log), 1e-9);
  EXPECT_GT(level(species::WaterOf::log_moisture, log), 0.9);
  EXPECT_LT(level(species::WaterOf::log_moisture, soil), 1e-9);
  EXPECT_GT(level(species::WaterOf::soil_water, soil), 0.9);
  EXPECT_LT(level(species::WaterOf::soil_water, rain), 1e-9);
}

TEST(Index, OneRainAtTheShortestLagGivesThePrintedShare) {
  auto t = e01();
  t.season.clear();
  t.lag_min_days = t.lag_max_days = 3;
  const Date last = make_date(2026, 5, 12);
  const auto s = states(plus_days(last, -3), last, [&](Date d) {
    return Weather{15, d == plus_days(last, -3) ? 12.0 : 0.0};
  });
  const auto days = index_days(t, kTarnwick, s, last, last, 1);
  ASSERT_EQ(days.size(), 1u);
  EXPECT_NEAR(days[0].today.water, 1 - std::exp(-1.0), 1e-12);
}

TEST(Index, ShortHistoryLeansOnWhatIsThere) {
  // In steady weather the first day's index is that of a long run; a hole does not change it either.
  const auto steady = [](Date) { return Weather{13, 3}; };
  const auto t = e01();
  const auto long_run = states(plus_days(kMay12, -200), kMay12, steady);
  const double settled = index_on(t, long_run);
  EXPECT_NEAR(index_on(t, states(kMay12, kMay12, steady)), settled, 0.12 * settled);
  EXPECT_NEAR(index_on(t, states(plus_days(kMay12, -15), kMay12, steady)), settled, 0.03 * settled);
  auto with_hole = long_run;
  with_hole.erase(with_hole.end() - 30, with_hole.end() - 8);
  EXPECT_NEAR(index_on(t, with_hole), settled, 0.03 * settled);
  EXPECT_EQ(index_series(t, kTarnwick, with_hole).size(), with_hole.size());
  EXPECT_TRUE(index_series(t, kTarnwick, {}).empty());
  // But its band is wider.
  const auto sure = index_days(t, kTarnwick, long_run, kMay12, kMay12, 1).front();
  const auto unsure =
      index_days(t, kTarnwick, states(plus_days(kMay12, -15), kMay12, steady), kMay12, kMay12, 1).front();
  EXPECT_GT(unsure.high90 - unsure.low90, sure.high90 - sure.low90);
}

TEST(Index, SeriesAndDaysAgree) {
  const auto s = h1_states(kMay12, 10, {11, 12, 14, 15, 16, 17, 17}, 13);
  const auto series = index_series(e01(), kTarnwick, s);
  const auto days = index_days(e01(), kTarnwick, s, plus_days(kMay12, -5), kMay12, 1);
  ASSERT_EQ(days.size(), 6u);
  for (std::size_t i = 0; i < days.size(); ++i) {
    EXPECT_NEAR(days[i].index, series[series.size() - 6 + i], 1e-12);
    EXPECT_EQ(days[i].basis, Basis::observed);
  }
}

std::vector<weather::DayState> arbitrary_states(Date last) {
  const auto numbers = *rc::gen::container<std::vector<int>>(4, rc::gen::inRange(0, 1000));
  base::Date first = plus_days(last, -100);
  return states(first, last, [&](Date d) {
    const auto i = static_cast<unsigned>(base::days_between(first, d));
    const unsigned k = (i * 7919u + static_cast<unsigned>(numbers[i % 4]) * 104729u) % 1000u;
    return Weather{-5 + k * 0.03, k % 3 == 0 ? (k % 40) * 1.0 : 0.0, 2 + (k % 18) * 1.0, (k % 100) / 100.0,
                   (k % 77) / 77.0};
  });
}

RC_GTEST_PROP(Index, StaysInsideItsBandAndTheBandInsideOne, ()) {
  const Date last = plus_days(make_date(2026, 1, 1), *rc::gen::inRange(0, 365));
  const auto s = arbitrary_states(last);
  const double factor = 1 + *rc::gen::inRange(0, 30) / 10.0;
  for (const auto& t : {e01(), e02(), o18(), o22()})
    for (const IndexDay& day : index_days(t, kTarnwick, s, plus_days(last, -3), last, factor)) {
      RC_ASSERT(day.low90 >= 0 && day.high90 <= 1);
      RC_ASSERT(day.low90 <= day.index && day.index <= day.high90);
      RC_ASSERT(!day.driver.empty() && !day.limit.empty());
    }
}

RC_GTEST_PROP(Index, MoreRainNeverLowersIt, ()) {
  const Date last = plus_days(make_date(2026, 1, 1), *rc::gen::inRange(0, 365));
  auto s = arbitrary_states(last);
  const auto before = index_series(e01(), kTarnwick, s);
  s[static_cast<std::size_t>(*rc::gen::inRange(0, 101))].rain_mm += 20;
  const auto after = index_series(e01(), kTarnwick, s);
  // From the 11th day on: before that the windows lean on what is there.
  for (std::size_t i = 60; i < s.size(); ++i) RC_ASSERT(after[i] >= before[i] - 1e-6);
}

TEST(Band, FarStationsWidenIt) {
  const auto s = h1_states(kMay12, 10, {11, 12, 14, 15, 16, 17, 17}, 13);
  const auto near = index_days(e01(), kTarnwick, s, kMay12, kMay12, 1).front(),
             far = index_days(e01(), kTarnwick, s, kMay12, kMay12, 2).front();
  EXPECT_EQ(near.index, far.index);
  EXPECT_GT(far.high90 - far.low90, near.high90 - near.low90);
  EXPECT_GT(near.high90 - near.low90, 0.1);  // no local records: wide
}

TEST(Band, NoUncertaintyNoBand) {
  auto t = e01();
  t.season_uncertainty_days = t.t_uncertainty_degc = t.rain_uncertainty = 0;
  const auto s = states(plus_days(kMay12, -200), kMay12, [](Date) { return Weather{13, 3}; });
  const auto day = index_days(t, kTarnwick, s, kMay12, kMay12, 1).front();
  EXPECT_NEAR(day.high90 - day.low90, 0, 1e-12);
}

TEST(Words, LimitNamesTheColdSoilWithItsWindow) {
  const auto s = states(plus_days(make_date(2026, 5, 4), -80), make_date(2026, 5, 4), [](Date) {
    return Weather{10, 6, 7};
  });
  const auto day = index_days(e02(), kTarnwick, s, make_date(2026, 5, 4), make_date(2026, 5, 4), 1).front();
  EXPECT_THAT(day.limit, HasSubstr("soil 7 °C"));
  EXPECT_THAT(day.limit, HasSubstr("below the"));
  EXPECT_THAT(day.limit, HasSubstr("°C window"));
}

TEST(Words, LimitNamesDroughtAndDriverTheSeason) {
  const auto s = states(plus_days(kMay12, -80), kMay12, [](Date) { return Weather{15, 0.2}; });
  const auto day = index_days(e01(), kTarnwick, s, kMay12, kMay12, 1).front();
  EXPECT_THAT(day.limit, HasSubstr("rain 3-10 days back 2 mm"));
  EXPECT_THAT(day.limit, HasSubstr("short of the 12 mm it wants"));
  EXPECT_THAT(day.driver, testing::AnyOf(HasSubstr("air 15 °C"), HasSubstr("season")));
}

TEST(Words, OutOfSeasonSaysSo) {
  const auto s = h1_states(kJan12, 12, {12, 12, 12, 12, 12, 12, 12}, 10);
  const auto day = index_days(e01(), kTarnwick, s, kJan12, kJan12, 1).front();
  EXPECT_THAT(day.limit, HasSubstr("out of season"));
  EXPECT_THAT(day.limit, HasSubstr("before its peak"));
}

TEST(Words, FrostIsNamedWithItsNight) {
  auto t = o18();
  const Date today = make_date(2026, 10, 10), night = make_date(2026, 10, 8);
  const auto s = states(plus_days(today, -80), today,
                        [&](Date d) { return Weather{11, 10, 10, 0.6, 0.7, d == night ? 40.0 : 8.0}; });
  const auto day = index_days(t, kTarnwick, s, today, today, 1).front();
  EXPECT_THAT(day.limit, HasSubstr("frost of -9 °C on 2026-10-08"));
}

TEST(Words, TodayThatTellsAnotherStoryIsNamedAsSuch) {
  // Warm only for the last days: today is inside the window, what stands now came up in the cold.
  const auto s = states(plus_days(kMay12, -80), kMay12, [&](Date d) {
    return Weather{base::days_between(d, kMay12) < 7 ? 15.0 : 4.0, 5};
  });
  const auto day = index_days(e01(), kTarnwick, s, kMay12, kMay12, 1).front();
  EXPECT_THAT(day.limit, HasSubstr("air 15 °C now, but"));
}

TEST(Words, PerfectWeatherHasNoLimit) {
  auto t = e01();
  t.season.clear();
  const auto day =
      index_days(t, kTarnwick, perfect(plus_days(kMay12, -80), kMay12), kMay12, kMay12, 1).front();
  EXPECT_EQ(day.limit, "nothing holds it down");
  EXPECT_GT(day.index, 0.98);
}

}  // namespace
}  // namespace stumpwise::season
