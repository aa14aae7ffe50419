#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "scene.h"
#include "stumpwise/base/error.h"

namespace stumpwise::learn {
namespace {

using namespace testing_scene;
using earth::PlanePoint;

constexpr int kEpsg = 32618;
constexpr double kLeft = 500000, kTop = 4700000;

/// 1.2 km x 1.2 km at 10 m: west half elm wood, east half meadow.
ground::Layers two_halves() {
  ground::Layers l;
  l.georef = {kLeft, kTop, 10, 120, 120, kEpsg};
  l.elevation_m = raster::Grid(l.georef, raster::Quantity::elevation_m, 400);
  l.legend = {"two", "made for the tests", {}};
  ground::CoverClass elm, meadow, lake;
  elm.name = "elm", elm.code = 0, elm.canopy = 0.9, elm.genera = {{"Ulmus", {0.5, 0.1}}};
  meadow.name = "meadow", meadow.code = 1;
  lake.name = "lake", lake.code = 2, lake.water = true;
  l.legend.classes = {elm, meadow, lake};
  l.cover = {l.georef, std::vector<std::uint8_t>(l.georef.size())};
  for (int row = 0; row < 120; ++row)
    for (int col = 0; col < 120; ++col) l.cover.codes[l.georef.index(col, row)] = col < 60 ? 0 : 1;
  return l;
}

species::Profile elm_profile() {
  species::Profile profile;
  profile.hosts = {{"Ulmus", 1.0, "memory"}};
  return profile;
}

LatLon place(double east_m, double south_m) {
  return earth::Utm::from_epsg(kEpsg).inverse({kLeft + east_m, kTop - south_m});
}

records::Outing outing_on(const std::vector<PlanePoint>& way) {
  records::Outing outing;
  outing.date = base::make_date(2026, 5, 12);
  outing.targets = {"E01"};
  for (const PlanePoint& point : way) outing.track.push_back({place(point.x_m, point.y_m), {}, {}, 0});
  return outing;
}

records::Find find_at(double east_m, double south_m) {
  records::Find find;
  find.species = "E01";
  find.place = place(east_m, south_m);
  return find;
}

double total_length(const OutingData& data) {
  double sum = 0;
  for (const ExposedCell& cell : data.cells) sum += cell.length_m;
  return sum;
}

TEST(Exposure, KoopmanByHand) {
  // check-values.md 7.3: W 10 m, L 2000 m, A 40 000 m2: coverage 0.5, 0.393469 of 4 ha.
  EXPECT_NEAR(exposure_ha(40000, 2000, 10), 0.393469 * 4, 1e-5);
  EXPECT_EQ(exposure_ha(0, 2000, 10), 0);
  EXPECT_EQ(exposure_ha(40000, 0, 10), 0);
}

// check-values.md 7.2: splitting effort changes nothing.
RC_GTEST_PROP(Exposure, SplittingEffortChangesNothing, ()) {
  base::Random random(*rc::gen::arbitrary<std::uint64_t>());
  const double area = random.uniform(100, 1e6), length = random.uniform(0, 1e5),
               width = random.uniform(0.5, 100), part = random.uniform();
  const double area_ha = area / 10000;
  auto missed = [&](double l) { return 1 - exposure_ha(area, l, width) / area_ha; };
  RC_ASSERT(std::abs(missed(length) - missed(part * length) * missed((1 - part) * length)) < 1e-12);
  RC_ASSERT(exposure_ha(area, length, width) <= area_ha);
  RC_ASSERT(exposure_ha(area, length, width) <= width * length / 10000 * (1 + 1e-12));
}

// W 12: cells of 120 m. A line of 300 m from x 60 to 360 at y 60: 60 m, 120 m and 120 m in three cells.
TEST(Expose, LengthsByHand) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  const OutingData data = expose(outing_on({{60, 60}, {360, 60}}), "E01", field, 12, 20);
  ASSERT_EQ(data.cells.size(), 3u);
  EXPECT_NEAR(data.cells[0].length_m, 60, 1e-3);
  EXPECT_NEAR(data.cells[1].length_m, 120, 1e-3);
  EXPECT_NEAR(data.cells[2].length_m, 120, 1e-3);
  EXPECT_NEAR(data.cells[1].exposure_ha, 1.44 * (1 - std::exp(-12 * 120 / 14400.0)), 1e-6);
  EXPECT_NEAR(data.cells[0].z[0], (std::log10(0.505) + 1) / 0.7, 1e-9);
  EXPECT_NEAR(data.cells[0].elevation_m, 400, 1e-9);
  EXPECT_EQ(data.total(), 0);
}

TEST(Expose, EachPersonCounts) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  records::Outing outing = outing_on({{60, 60}, {360, 60}});
  outing.people = 3;
  EXPECT_NEAR(total_length(expose(outing, "E01", field, 12, 20)), 900, 1e-2);
}

TEST(Expose, OnlyWhatWasLookedFor) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  records::Outing outing = outing_on({{60, 60}, {360, 60}});
  outing.finds = {find_at(100, 60)};
  outing.targets = {"E02"};
  const OutingData data = expose(outing, "E01", field, 12, 20);
  EXPECT_TRUE(data.cells.empty());
  EXPECT_EQ(data.total(), 0);
}

TEST(Expose, FindsGoToTheirCellTheNearestOrNone) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  records::Outing outing = outing_on({{60, 60}, {360, 60}});
  records::Find other = find_at(100, 60), unplaced = find_at(100, 60);
  other.species = "O22";
  unplaced.place.reset();
  outing.finds = {
      find_at(100, 60),  find_at(130, 110),  find_at(130, 170),  // inside, inside, 50 m south of its cell
      find_at(200, 700), find_at(-2000, 50), other,
      unplaced};               // far off, off the ground
  outing.finds[0].pieces = 9;  // a cluster is one find
  const OutingData data = expose(outing, "E01", field, 12, 20);
  ASSERT_EQ(data.cells.size(), 3u);
  EXPECT_EQ(data.cells[0].finds, 1);
  EXPECT_EQ(data.cells[1].finds, 2);
  EXPECT_EQ(data.cells[2].finds, 0);
  EXPECT_EQ(data.unplaced_finds, 2);
  EXPECT_EQ(data.finds_elsewhere, 1);
  EXPECT_EQ(data.total(), 5);
}

TEST(Expose, WaterIsNoLand) {
  ground::Layers l = two_halves();
  for (int row = 0; row < 12; ++row)
    for (int col = 0; col < 12; ++col) l.cover.codes[l.georef.index(col, row)] = row < 6 || col < 6 ? 2 : 0;
  const ground::CovariateField field(l, elm_profile());
  const OutingData data = expose(outing_on({{60, 60}, {360, 60}}), "E01", field, 12, 20);
  EXPECT_NEAR(data.cells[0].area_ha, 0.36, 1e-9);
  EXPECT_LE(data.cells[0].exposure_ha, 0.36);
}

TEST(Expose, OffTheGroundTeachesNothing) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  const OutingData data = expose(outing_on({{-900, 60}, {-300, 60}}), "E01", field, 12, 20);
  EXPECT_TRUE(data.cells.empty());
  EXPECT_NEAR(total_length(expose(outing_on({{-300, 60}, {300, 60}}), "E01", field, 12, 20)), 300, 1e-2);
}

TEST(Expose, MinutesAroundAPlace) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  records::Outing outing = outing_on({});
  outing.minutes = 180;
  outing.search_minutes = 60;
  outing.finds = {find_at(300, 600), find_at(310, 600)};
  const OutingData data = expose(outing, "E01", field, 12, 20, place(300, 600));
  EXPECT_NEAR(total_length(data), 1200, 1e-6);
  double area_ha = 0;
  for (const ExposedCell& cell : data.cells) area_ha += cell.area_ha;
  // W L / A = 0.25: A = 12 * 1200 / 0.25 = 5.76 ha, in whole cells of the ground.
  EXPECT_NEAR(area_ha, 5.76, 0.15);
  EXPECT_EQ(data.unplaced_finds, 0);
  EXPECT_EQ(data.total(), 2);
  // Half of the minutes where no search minutes were noted.
  outing.search_minutes.reset();
  EXPECT_NEAR(total_length(expose(outing, "E01", field, 12, 20, place(300, 600))), 1800, 1e-6);
}

TEST(Expose, MinutesWithoutAPlaceAreSpreadOverTheGround) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  records::Outing outing = outing_on({});
  outing.search_minutes = 60;
  outing.finds = {find_at(300, 600)};
  const OutingData data = expose(outing, "E01", field, 12, 20);
  EXPECT_EQ(data.cells.size(), 100u);
  EXPECT_NEAR(total_length(data), 1200, 1e-6);
  EXPECT_EQ(data.unplaced_finds, 1);  // an even spread says nothing of where
}

TEST(Expose, NonsenseIsRefused) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  records::Outing outing = outing_on({{60, 60}, {360, 60}});
  EXPECT_THROW(expose(outing, "E01", field, 0, 20), Error);
  EXPECT_THROW(expose(outing, "E01", field, 12, 0), Error);
  outing.people = 0;
  EXPECT_THROW(expose(outing, "E01", field, 12, 20), Error);
}

RC_GTEST_PROP(Expose, NeverMoreThanTheLandAndAllLengthIsKept, ()) {
  static const ground::Layers l = two_halves();
  static const ground::CovariateField field(l, elm_profile());
  base::Random random(*rc::gen::arbitrary<std::uint64_t>());
  std::vector<PlanePoint> way;
  for (int i = 0; i < 12; ++i) way.push_back({random.uniform(0, 1200), random.uniform(0, 1200)});
  const double width = random.uniform(1, 30);
  const OutingData data = expose(outing_on(way), "E01", field, width, 20);
  RC_ASSERT(std::abs(total_length(data) - data.searched_m) < 1e-2);
  for (const ExposedCell& cell : data.cells) {
    RC_ASSERT(cell.exposure_ha > 0 && cell.exposure_ha <= cell.area_ha);
    RC_ASSERT(cell.exposure_ha <= width * cell.length_m / 10000 + 1e-12);
  }
  // Cutting the track into two outings at a vertex: lengths add up cell by cell, so they add up in all.
  const std::vector<PlanePoint> first(way.begin(), way.begin() + 6), second(way.begin() + 5, way.end());
  RC_ASSERT(std::abs(total_length(expose(outing_on(first), "E01", field, width, 20)) +
                     total_length(expose(outing_on(second), "E01", field, width, 20)) - total_length(data)) <
            1e-2);
}

// The whole way from track to coefficient: the same outings and finds, moved from the elms to the meadow.
TEST(Expose, MovingTheOutingsChangesWhatIsLearned) {
  const ground::Layers l = two_halves();
  const ground::CovariateField field(l, elm_profile());
  auto learned = [&](double finds_east_m) {
    std::vector<OutingData> outings;
    for (int i = 0; i < 8; ++i) {
      const double south = 100 + 120 * i;
      records::Outing outing = outing_on({{50, south}, {1150, south}});
      outing.finds = {find_at(finds_east_m, south), find_at(finds_east_m + 50, south)};
      outings.push_back(expose(outing, "E01", field, 12, 20));
      set_index(outings.back(), {{0, 1000}, {0.8, 0.8}, {0.8, 0.8}, {0.8, 0.8}});
    }
    return fit(outings, wide_prior(), 1).coefficients;
  };
  const auto elms = learned(200), meadow = learned(900);
  EXPECT_GT(elms.mean[1], meadow.mean[1] + 0.4);
  // And the map with it: more in the elms after finds there.
  const ground::IndexByHeight index{{0, 1000}, {0.8, 0.8}, {0.8, 0.8}, {0.8, 0.8}};
  const auto map = ground::prospect_median(field, elms, index, 1),
             other = ground::prospect_median(field, meadow, index, 1);
  EXPECT_GT(map.at(20, 60), 1.5f * other.at(20, 60));
  EXPECT_LT(map.at(100, 60), other.at(100, 60));
}

/// A walk at 0.6 m/s along x with a receiver's noise: sd 4 m, each second 0.95 of the last.
std::vector<records::TrackPoint> noisy_walk(int seconds, double speed_m_per_s, std::uint64_t seed,
                                            Instant start) {
  base::Random random(seed);
  std::vector<records::TrackPoint> track;
  double ex = 0, ey = 0;
  for (int s = 0; s < seconds; ++s) {
    ex = 0.95 * ex + random.normal(0, 4 * std::sqrt(1 - 0.95 * 0.95));
    ey = 0.95 * ey + random.normal(0, 4 * std::sqrt(1 - 0.95 * 0.95));
    track.push_back({place(100 + speed_m_per_s * s + ex, 600 + ey), start + std::chrono::seconds(s), {}, 0});
  }
  return track;
}

const Instant kStart = *base::parse_instant("2026-05-12T09:00:00Z");

TEST(SearchedPath, NoiseDoesNotLengthenIt) {
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const auto track = noisy_walk(1500, 0.6, seed, kStart);
    double raw_m = 0;
    const earth::Utm utm = earth::Utm::from_epsg(kEpsg);
    for (std::size_t i = 1; i < track.size(); ++i) {
      const PlanePoint a = utm.forward(track[i - 1].place), b = utm.forward(track[i].place);
      raw_m += std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
    }
    const SearchedPath path = searched_path(track, kEpsg);
    EXPECT_GT(raw_m, 1800);  // twice the 900 m that were walked
    RecordProperty("metres_" + std::to_string(seed), static_cast<int>(path.searched_m));
    RecordProperty("raw_" + std::to_string(seed), static_cast<int>(raw_m));
    EXPECT_NEAR(path.searched_m, 900, 135) << seed;
    EXPECT_NEAR(path.searched_min, 1499 / 60.0, 0.2);
    EXPECT_EQ(path.set_apart_m, 0);
  }
}

// The smoothing must not eat the search itself: legs of 25 m, 8 m apart, at 0.5 m/s, with the same noise.
TEST(SearchedPath, ASearchInTightLegsKeepsMostOfItsLength) {
  std::vector<records::TrackPoint> track;
  base::Random random(6);
  double ex = 0, ey = 0, x = 100, y = 600, direction = 0.5, walked_m = 0;
  for (int s = 0; s < 3000; ++s) {
    const bool across = s % 66 >= 50;  // 25 m along, then 8 m over
    if (across)
      x += 0.5;
    else
      y += direction;
    if (s % 66 == 65) direction = -direction;
    walked_m += 0.5;
    ex = 0.95 * ex + random.normal(0, 4 * std::sqrt(1 - 0.95 * 0.95));
    ey = 0.95 * ey + random.normal(0, 4 * std::sqrt(1 - 0.95 * 0.95));
    track.push_back({place(x + ex, y + ey), kStart + std::chrono::seconds(s), {}, 0});
  }
  const double kept = searched_path(track, kEpsg).searched_m / walked_m;
  RecordProperty("kept_percent", static_cast<int>(100 * kept));
  EXPECT_GT(kept, 0.72);
  EXPECT_LT(kept, 1.05);
}

TEST(SearchedPath, StandingStillAddsLittle) {
  const SearchedPath path = searched_path(noisy_walk(1800, 0, 3, kStart), kEpsg);
  RecordProperty("still_m", static_cast<int>(path.searched_m));
  EXPECT_LT(path.searched_m, 220);  // half an hour's lunch: a sixth of what a search would be
}

TEST(SearchedPath, ASingleLeapIsTakenOut) {
  auto track = noisy_walk(600, 0.6, 4, kStart);
  const double before = searched_path(track, kEpsg).searched_m;
  track[300].place = place(280, 1400);
  const SearchedPath path = searched_path(track, kEpsg);
  EXPECT_NEAR(path.searched_m, before, 15);
  EXPECT_EQ(path.set_apart_m, 0);
}

TEST(SearchedPath, ACornerOfASparseTrackStays) {
  const SearchedPath path =
      searched_path(outing_on({{0, 0}, {100, 0}, {100, 100}, {0, 100}, {0, 200}}).track, kEpsg);
  EXPECT_NEAR(path.searched_m, 400, 1e-3);
}

TEST(SearchedPath, WhatIsFasterThanWalkingIsSetApart) {
  // Ten minutes on foot at 1 m/s, five by car at 10 m/s, ten on foot again; a fix each 20 s.
  std::vector<records::TrackPoint> track;
  double x = 0;
  for (int s = 0; s <= 1500; s += 20) {
    track.push_back({place(x, 50), kStart + std::chrono::seconds(s), {}, 0});
    x += 20 * (s >= 600 && s < 900 ? 10 : 1);
  }
  const SearchedPath path = searched_path(track, kEpsg);
  EXPECT_NEAR(path.searched_m, 1200, 1e-2);
  EXPECT_NEAR(path.set_apart_m, 3000, 1e-2);
  EXPECT_NEAR(path.searched_min, 20, 1e-9);
  EXPECT_NEAR(path.set_apart_min, 5, 1e-9);
  EXPECT_EQ(path.lines.size(), 2u);
}

TEST(SearchedPath, SegmentsAreNotJoinedAndBadTimesAreNoTimes) {
  std::vector<records::TrackPoint> track = outing_on({{0, 0}, {100, 0}, {500, 0}, {600, 0}}).track;
  track[2].segment = track[3].segment = 1;
  for (int i = 0; i < 4; ++i)
    track[static_cast<std::size_t>(i)].time = kStart - std::chrono::seconds(i);  // backwards
  const SearchedPath path = searched_path(track, kEpsg);
  EXPECT_NEAR(path.searched_m, 200, 1e-3);
  EXPECT_EQ(path.set_apart_m, 0);
  EXPECT_EQ(path.searched_min, 0);
  EXPECT_EQ(path.lines.size(), 2u);
  EXPECT_TRUE(searched_path({}, kEpsg).lines.empty());
}

}  // namespace
}  // namespace stumpwise::learn
