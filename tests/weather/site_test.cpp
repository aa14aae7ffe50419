#include "stumpwise/weather/site.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "sample.h"
#include "stumpwise/weather/evapotranspiration.h"
#include "stumpwise/weather/snow.h"

namespace stumpwise::weather {
namespace {

using testing::HasSubstr;

const Site kSite{.place = {.lat_deg = 45, .lon_deg = -30}, .elevation_m = 300};
Series series_of(std::vector<Day> days, double elevation_m = 300) {
  return {{"S", "S", kSite.place, elevation_m}, std::move(days)};
}

void expect_same(const DayState& a, const DayState& b) {
  EXPECT_EQ(a.date, b.date);
  for (auto field : {&DayState::tmin_degc, &DayState::tmax_degc, &DayState::tmean_degc, &DayState::precip_mm,
                     &DayState::et0_mm, &DayState::rain_mm, &DayState::snow_mm, &DayState::soil_degc,
                     &DayState::soil_water, &DayState::log_moisture, &DayState::degree_days})
    EXPECT_EQ(a.*field, b.*field);
}

RC_GTEST_PROP(SiteProperty, RunningOnEqualsHavingRunThrough, ()) {
  const auto days = temperate_days(base::make_date(2023, 9, 15), *rc::gen::inRange(2, 500),
                                   *rc::gen::arbitrary<std::uint32_t>());
  const auto cut = static_cast<std::size_t>(*rc::gen::inRange(0, static_cast<int>(days.size()) - 1));
  const auto whole = run_site(series_of(days), kSite);
  const std::vector<Day> rest(days.begin() + static_cast<std::ptrdiff_t>(cut) + 1, days.end());
  const auto on = continue_site(whole[cut], rest, 300, kSite);
  RC_ASSERT(whole.size() == days.size() && on.size() == rest.size());
  for (std::size_t i = 0; i < on.size(); ++i) expect_same(on[i], whole[cut + 1 + i]);
}

RC_GTEST_PROP(SiteProperty, WhatComesLaterChangesNothingBefore, ()) {
  auto days = temperate_days(base::make_date(2023, 9, 15), 500, *rc::gen::arbitrary<std::uint32_t>());
  std::erase_if(days, [](const Day& day) { return base::month_of(day.date) == 7; });
  const auto cut = static_cast<std::size_t>(*rc::gen::inRange(30, static_cast<int>(days.size())));
  const auto whole = run_site(series_of(days), kSite),
             part =
                 run_site(series_of({days.begin(), days.begin() + static_cast<std::ptrdiff_t>(cut)}), kSite);
  RC_ASSERT(part.size() == cut);
  for (std::size_t i = 0; i < cut; ++i) expect_same(part[i], whole[i]);
}

RC_GTEST_PROP(SiteProperty, StatesStayInRangeAndWaterIsKept, ()) {
  const auto days = temperate_days(base::make_date(2023, 1, 1), 400, *rc::gen::arbitrary<std::uint32_t>());
  double water_mm = -1, snow_mm = 0;
  for (const DayState& s : run_site(series_of(days), kSite)) {
    RC_ASSERT(s.soil_water >= 0 && s.soil_water <= 1);
    RC_ASSERT(s.log_moisture >= 0 && s.log_moisture <= 1);
    RC_ASSERT(s.et0_mm >= 0 && s.et0_mm < 12 && s.snow_mm >= 0 && s.rain_mm >= 0 && s.degree_days >= 0);
    RC_ASSERT(s.soil_degc > -15 && s.soil_degc < 35);
    if (water_mm >= 0) {
      RC_ASSERT(std::abs(snow_mm + s.precip_mm - s.rain_mm - s.snow_mm) < 1e-9);
      const double gained = s.soil_water * kSite.available_water_mm - water_mm;
      RC_ASSERT(gained <= s.rain_mm + 1e-9 && gained >= -s.et0_mm - 1e-9);
    }
    water_mm = s.soil_water * kSite.available_water_mm;
    snow_mm = s.snow_mm;
  }
}

RC_GTEST_PROP(SiteProperty, MoreRainIsNeverDrier, ()) {
  const auto seed = *rc::gen::arbitrary<std::uint32_t>();
  const Date first = base::make_date(2024, 4, 1);
  const auto dry = run_site(series_of(temperate_days(first, 150, seed)), kSite),
             wet = run_site(series_of(temperate_days(first, 150, seed, 1.5)), kSite);
  for (std::size_t i = 0; i < dry.size(); ++i) {
    RC_ASSERT(wet[i].soil_water >= dry[i].soil_water - 1e-12);
    RC_ASSERT(wet[i].log_moisture >= dry[i].log_moisture - 1e-12);
  }
}

TEST(SiteRun, EvapotranspirationByTheBestMethodThatTheDayAllows) {
  Day day = make_day(base::make_date(2026, 7, 6), 12.3, 21.5, 0);
  const Site uccle{.place = {.lat_deg = 50.8, .lon_deg = 0}, .elevation_m = 100};
  auto et0 = [&](const Day& d) { return run_site({{"U", "U", uccle.place, 100}, {d}}, uccle).at(0).et0_mm; };
  EXPECT_EQ(et0_method(day), Et0Method::hargreaves);
  const double ra = extraterrestrial_mj(50.8, 187);
  EXPECT_NEAR(et0(day), hargreaves_mm(12.3, 21.5, 16.9, ra), 1e-9);
  Day mean;
  mean.date = day.date;
  mean.tmean_degc = 16.9;
  mean.precip_mm = 0;
  EXPECT_EQ(et0_method(mean), Et0Method::mean_temperature);
  EXPECT_NEAR(et0(mean), oudin_mm(16.9, ra), 1e-9);
  // FAO-56 example 18 (T01) through the whole run.
  day.rh_min_pct = 63;
  day.rh_max_pct = 84;
  day.wind_m_per_s = 2.078;
  day.sun_hours = 9.25;
  EXPECT_EQ(et0_method(day), Et0Method::penman_monteith);
  EXPECT_NEAR(et0(day), 3.88, 0.01);
}

TEST(SiteRun, HeightCoolsByTheStandardAtmosphere) {
  const auto days = temperate_days(base::make_date(2026, 5, 1), 20, 5);
  Site high = kSite;
  high.elevation_m = 1300;
  const auto low = run_site(series_of(days), kSite), up = run_site(series_of(days), high);
  for (std::size_t i = 0; i < days.size(); ++i) {
    EXPECT_NEAR(low[i].tmin_degc - up[i].tmin_degc, 6.5, 1e-9);
    EXPECT_EQ(low[i].precip_mm, up[i].precip_mm);
  }
  EXPECT_NEAR(low[0].tmin_degc, *days[0].tmin_degc, 1e-9);
}

TEST(SiteRun, DaysWithOnlyAMeanWork) {
  std::vector<Day> days;
  for (int i = 0; i < 60; ++i) {
    Day day;
    day.date = base::plus_days(base::make_date(2026, 3, 14), i);
    day.tmean_degc = 10;
    day.precip_mm = i % 4 == 0 ? 8 : 0;
    days.push_back(day);
  }
  const auto states = run_site(series_of(days), kSite, 13);
  ASSERT_EQ(states.size(), 60u);
  for (const DayState& s : states) {
    EXPECT_LT(s.tmin_degc, 10);
    EXPECT_GT(s.tmin_degc, 4.9);
    EXPECT_NEAR((s.tmin_degc + s.tmax_degc) / 2, 10, 1e-9);
    EXPECT_GT(s.et0_mm, 0.5);
  }
  EXPECT_GT(states[0].soil_degc, 12) << "begins at the measured soil";
  EXPECT_NEAR(states[59].soil_degc, 10, 0.3);
  EXPECT_NEAR(states[59].degree_days, 60 * 5, 15);
}

TEST(SiteRun, OpenDaysAreLeftOutAndTheStateIsCarriedOverThem) {
  auto days = temperate_days(base::make_date(2020, 1, 1), 4 * 365 + 1, 11);
  const auto whole = run_site(series_of(days), kSite);
  auto in_gap = [](Date date) { return base::month_of(date) >= 11 || base::month_of(date) <= 3; };
  std::vector<Day> summers = days;
  std::erase_if(summers, [&](const Day& day) { return in_gap(day.date); });
  const auto gappy = run_site(series_of(summers), kSite);
  ASSERT_EQ(gappy.size(), summers.size());
  double worst_soil = 0, worst_water = 0;
  for (const DayState& s : gappy) {
    EXPECT_FALSE(in_gap(s.date));
    const auto same =
        std::find_if(whole.begin(), whole.end(), [&](const DayState& w) { return w.date == s.date; });
    if (base::year_of(s.date) > 2020 && base::month_of(s.date) == 4 && base::day_of_month(s.date) == 1) {
      // Winter was not seen: soil near what it was, store full, degree-days since January counted with usual
      // days.
      EXPECT_NEAR(s.soil_degc, same->soil_degc, 4);
      EXPECT_GT(s.soil_water, 0.85);
      EXPECT_LT(s.degree_days, 300);
    }
    if (base::month_of(s.date) >= 6)
      worst_soil = std::max(worst_soil, std::abs(s.soil_degc - same->soil_degc)),
      worst_water = std::max(worst_water, std::abs(s.soil_water - same->soil_water));
  }
  EXPECT_LT(worst_soil, 0.05) << "two months later the gap is forgotten";
  EXPECT_LT(worst_water, 0.25);
}

TEST(SiteRun, RainGoneOrTemperatureGone) {
  auto days = temperate_days(base::make_date(2024, 5, 1), 60, 2);
  for (int i = 20; i < 40; ++i) days[static_cast<std::size_t>(i)].precip_mm.reset();
  const auto no_rain = run_site(series_of(days), kSite);
  EXPECT_EQ(no_rain.size(), 40u);
  EXPECT_EQ(base::days_between(no_rain[19].date, no_rain[20].date), 21);
  EXPECT_GT(no_rain[20].degree_days, no_rain[19].degree_days + 50)
      << "the measured warmth of the open days counts";
  for (Day& day : days) day.precip_mm.reset();
  EXPECT_TRUE(run_site(series_of(days), kSite).empty());
  EXPECT_TRUE(run_site(series_of({}), kSite).empty());
}

TEST(SiteRun, DegreeDaysBeginAnewEachYearEvenWhereNewYearIsMissing) {
  auto days = temperate_days(base::make_date(2022, 7, 1), 330, 4);
  std::erase_if(
      days, [](const Day& day) { return base::month_of(day.date) == 1 && base::day_of_month(day.date) < 5; });
  double before = 0;
  for (const DayState& s : run_site(series_of(days), kSite)) {
    if (base::year_of(s.date) == 2023 && base::month_of(s.date) == 1)
      EXPECT_LT(s.degree_days, 120);
    else
      before = std::max(before, base::year_of(s.date) == 2022 ? s.degree_days : 0);
  }
  EXPECT_GT(before, 500);
}

TEST(SiteRun, ShortForecastsAndDaysAlreadyKnown) {
  const auto days = temperate_days(base::make_date(2026, 5, 1), 30, 9);
  const auto states = run_site(series_of(days), kSite);
  EXPECT_TRUE(continue_site(states.back(), {}, 300, kSite).empty());
  EXPECT_TRUE(continue_site(states.back(), days, 300, kSite).empty())
      << "days already in the state change nothing";
  EXPECT_EQ(
      continue_site(states.back(), {make_day(base::make_date(2026, 5, 31), 5, 15, 0)}, 300, kSite).size(),
      1u);
}

TEST(SiteRun, FilledDaysAreMarked) {
  auto days = temperate_days(base::make_date(2026, 5, 1), 10, 9);
  days[4].method = "straight line between neighbours";
  const auto states = run_site(series_of(days), kSite);
  EXPECT_TRUE(states[3].measured);
  EXPECT_FALSE(states[4].measured);
}

TEST(SiteRun, DroughtDriesAndSoakingFills) {
  std::vector<Day> days;
  for (int i = 0; i < 60; ++i)
    days.push_back(make_day(base::plus_days(base::make_date(2026, 6, 1), i), 12, 26, i < 50 ? 0 : 15));
  const auto states = run_site(series_of(days), kSite);
  EXPECT_LT(states[49].soil_water, 0.1);
  EXPECT_LT(states[49].log_moisture, 0.35);
  EXPECT_GT(states[59].soil_water, 0.9);
  EXPECT_GT(states[59].log_moisture, states[49].log_moisture + 0.15);
}

TEST(SiteRun, SnowKeepsTheSoilFromTheFrost) {
  std::vector<Day> bare, covered;
  for (int i = 0; i < 40; ++i) {
    const Date date = base::plus_days(base::make_date(2026, 1, 1), i);
    bare.push_back(make_day(date, -16, -8, 0));
    covered.push_back(make_day(date, -16, -8, i == 0 ? 40 : 0));
  }
  const auto frost = run_site(series_of(bare), kSite, 4), snow = run_site(series_of(covered), kSite, 4);
  EXPECT_EQ(snow.back().snow_mm, 40);
  EXPECT_GT(snow[10].soil_degc, frost[10].soil_degc + 0.5);
  EXPECT_EQ(snow.back().rain_mm, 0);
}

TEST(SiteRun, ImpossibleSitesAreRefused) {
  const auto days = temperate_days(base::make_date(2026, 5, 1), 3, 1);
  for (auto spoil :
       {+[](Site& s) { s.available_water_mm = 0; }, +[](Site& s) { s.log_tau_h = 0; },
        +[](Site& s) { s.place.lat_deg = 91; }, +[](Site& s) { s.leaf_area_index = std::nan(""); }}) {
    Site site = kSite;
    spoil(site);
    EXPECT_THROW(run_site(series_of(days), site), Error);
  }
}

TEST(UsualRange, LiesBetweenACityByTheSeaAndAnInlandAirport) {
  // Half of the mean daily range, December and May: New York 3.2 and 4.8, Roanoke 5.0 and 5.7 (our own means
  // of the two files).
  EXPECT_GT(usual_half_range_degc(39, 350), 3.2);
  EXPECT_LT(usual_half_range_degc(39, 350), 5.0);
  EXPECT_GT(usual_half_range_degc(39, 135), 4.7);
  EXPECT_LT(usual_half_range_degc(39, 135), 5.7);
  EXPECT_EQ(usual_half_range_degc(80, 355), 2.5);
}

TEST(StationFit, NearIsSilent) {
  const Station station{"A", "Aa", {.lat_deg = 45, .lon_deg = -30}, 400};
  const auto fit = station_fit(station, {.lat_deg = 45.2, .lon_deg = -30}, 110);
  EXPECT_NEAR(fit.distance_km, 22.2, 0.1);
  EXPECT_EQ(fit.height_difference_m, 290);
  EXPECT_FALSE(fit.far);
  EXPECT_EQ(fit.band_factor, 1);
  EXPECT_TRUE(fit.warning.empty());
}

TEST(StationFit, FarHighAndOverseasAreSaid) {
  const Station station{"A", "Aa", {.lat_deg = 45, .lon_deg = -30}, 400};
  const auto away = station_fit(station, {.lat_deg = 45.5, .lon_deg = -30}, 400);
  EXPECT_TRUE(away.far);
  EXPECT_GT(away.band_factor, 1.25);
  EXPECT_THAT(away.warning, HasSubstr("56 km"));
  const auto high = station_fit(station, {.lat_deg = 45, .lon_deg = -30}, 701);
  EXPECT_TRUE(high.far);
  EXPECT_THAT(high.warning, HasSubstr("301 m lower than"));
  const auto overseas = station_fit(station, {.lat_deg = 40.8, .lon_deg = -74}, 42);
  EXPECT_EQ(overseas.band_factor, 4);
  EXPECT_THAT(overseas.warning, HasSubstr("not the weather here"));
  EXPECT_GT(station_fit(station, {.lat_deg = 46, .lon_deg = -30}, 400).band_factor, away.band_factor);
}

TEST(RealStation, SnowOfCentralParkRoughlyAsMeasured) {
  const auto path = shared_data() / "weather" / "USW00094728.dly";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "shared data weather/USW00094728.dly is not here";
  auto series = read_any(path.string()).value;
  series.station.place = {.lat_deg = 40.7789, .lon_deg = -73.9692};
  series.station.elevation_m = 42.7;
  const Site site{.place = series.station.place, .elevation_m = 42.7};
  const auto states = run_site(series, site);
  ASSERT_GT(states.size(), 14500u);
  int agree = 0, both = 0;
  double et0_mm = 0;
  std::size_t at = 0;
  for (const DayState& s : states) {
    et0_mm += s.et0_mm;
    while (series.days[at].date < s.date) ++at;
    if (series.days[at].snow_depth_mm)
      ++both, agree += (*series.days[at].snow_depth_mm >= 25) == (s.snow_mm > 2.5);
  }
  EXPECT_GT(agree, 0.93 * both) << "days with and without snow on the ground";
  // Hargreaves at a temperate humid place: some 900 to 1300 mm a year.
  EXPECT_NEAR(et0_mm / static_cast<double>(states.size()) * 365.25, 1100, 200);
  RecordProperty("agree_pct", 100 * agree / both);
}

}  // namespace
}  // namespace stumpwise::weather
