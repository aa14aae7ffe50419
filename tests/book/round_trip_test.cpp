// What goes into the book comes out as it was.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <chrono>
#include <iostream>

#include "raw.h"
#include "sample.h"
#include "stumpwise/base/files.h"

namespace stumpwise::book {
namespace {

class BookTest : public testing::Test {
 protected:
  base::TemporaryFolder folder_;
  std::filesystem::path path_ = folder_.path() / "a year.gpkg";
};

/// As the book gives it back: ids, and the outing's in its finds.
records::Outing with_ids(records::Outing outing, std::int64_t id, std::int64_t first_find) {
  outing.id = id;
  for (auto& find : outing.finds) find.id = first_find++, find.outing = id;
  return outing;
}

void expect_sample(const Book& book) {
  EXPECT_EQ(book.get("home"), "ennoway");
  EXPECT_EQ(book.grounds(), std::vector{sample_ground()});
  EXPECT_EQ(book.ground("ennoway"), sample_ground());
  ASSERT_EQ(book.files("ennoway").size(), 1u);
  EXPECT_EQ(book.files("ennoway")[0].sha256, std::string(64, 'a'));
  EXPECT_EQ(book.files("ennoway")[0].role, "import");
  auto hosts = sample_hosts();
  hosts[0].id = 1, hosts[1].id = 2;
  EXPECT_EQ(book.hosts("ennoway"), hosts);
  EXPECT_EQ(book.access("ennoway"), sample_access());
  EXPECT_EQ(book.history("ennoway"), sample_history());
  ASSERT_EQ(book.stations().size(), 1u);
  const auto series = book.weather("EV-1"), wanted = sample_weather();
  EXPECT_EQ(series.station.name, wanted.station.name);
  EXPECT_EQ(series.station.place, wanted.station.place);
  EXPECT_EQ(series.station.elevation_m, wanted.station.elevation_m);
  ASSERT_EQ(series.days.size(), wanted.days.size());
  auto fields = [](const weather::Day& d) {
    return std::tie(d.date, d.tmin_degc, d.tmax_degc, d.tmean_degc, d.precip_mm, d.snow_depth_mm,
                    d.snowfall_mm, d.rh_min_pct, d.rh_max_pct, d.wind_m_per_s, d.sun_hours, d.method);
  };
  for (std::size_t i = 0; i < series.days.size(); ++i)
    EXPECT_TRUE(fields(series.days[i]) == fields(wanted.days[i])) << i;
  EXPECT_EQ(book.notes(), (std::vector<records::WeatherNote>{{make_date(2026, 5, 11), 14.0, {}, {}, 13.0}}));
  EXPECT_EQ(book.forecast(), (std::vector<records::ForecastDayRecord>{
                                 {make_date(2026, 5, 12), make_date(2026, 5, 13), 6.0, 17.5, 2.0}}));
  const auto outings = book.outings("ennoway");
  ASSERT_EQ(outings.size(), 2u);
  EXPECT_EQ(outings[0], with_ids(sample_outing(), 1, 1));
  EXPECT_EQ(book.outing(1), outings[0]);
  EXPECT_TRUE(records::is_blank(outings[1]));
  EXPECT_TRUE(outings[1].track.empty());
  EXPECT_EQ(outings[1].targets, sample_outing().targets);
  const auto finds = book.finds("ennoway");
  ASSERT_EQ(finds.size(), 3u);
  EXPECT_EQ(finds[2].species, "E05");
  EXPECT_EQ(finds[2].outing, 0);
  ASSERT_EQ(book.pieces().size(), 2u);  // piece_test.cpp looks closer
  EXPECT_EQ(book.piece(1)->readings.size(), sample_piece().readings.size());
  EXPECT_TRUE(book.faults().empty());
  const auto model = book.model("ennoway", "E01");
  ASSERT_TRUE(model);
  EXPECT_EQ(model->json, R"({"a":[1,2]})");
  EXPECT_EQ(base::to_text_utc(model->made), "2026-05-12T06:00:00Z");
  ASSERT_EQ(book.forecasts().size(), 1u);
  EXPECT_EQ(book.forecasts()[0].low90, 0.25);
  EXPECT_EQ(book.forecasts()[0].basis, "forecast");
}

TEST_F(BookTest, EveryRecordComesBack) {
  {
    Book book = Book::create(path_);
    fill_sample(book);
    expect_sample(book);
  }
  expect_sample(Book::open(path_));
  expect_sample(Book::open(path_, true));
}

TEST_F(BookTest, ClosedBookIsOneFile) {
  {
    Book book = Book::create(path_);
    fill_sample(book);
    EXPECT_TRUE(std::filesystem::exists(path_.string() + "-wal"));
  }
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(folder_.path()))
    names.push_back(entry.path().filename().string());
  EXPECT_THAT(names, testing::ElementsAre("a year.gpkg"));
  EXPECT_EQ(raw_value(path_, "PRAGMA journal_mode"), "delete");
  EXPECT_EQ(Book::open(path_).files_folder(), folder_.path() / "a year.files");
}

TEST_F(BookTest, ReadingOnlyNeverChangesTheFile) {
  { fill_sample(*std::make_unique<Book>(Book::create(path_))); }
  const std::string before = bytes_of(path_);
  {
    Book book = Book::open(path_, true);
    EXPECT_THROW(book.set("a", "b"), Error);
    EXPECT_THROW(book.add_outing(sample_outing()), Error);
    EXPECT_EQ(book.outings("ennoway").size(), 2u);
  }
  EXPECT_EQ(bytes_of(path_), before);
}

TEST_F(BookTest, CreatingNeverOverwrites) {
  Book::create(path_).set("mine", "yes");
  try {
    Book::create(path_);
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::store_failed);
  }
  EXPECT_EQ(Book::open(path_).get("mine"), "yes");
  EXPECT_THROW(Book::create(folder_.path() / "no such folder" / "a.gpkg"), Error);
}

TEST_F(BookTest, PuttingAgainReplaces) {
  Book book = Book::create(path_);
  fill_sample(book);
  auto ground = sample_ground();
  ground.title = "renamed";
  book.put_ground(ground);
  EXPECT_EQ(book.grounds().size(), 1u);
  EXPECT_EQ(book.ground("ennoway")->title, "renamed");
  EXPECT_EQ(book.outings("ennoway").size(), 2u);  // and what lies on it stays
  book.replace_hosts("ennoway", {});
  EXPECT_TRUE(book.hosts("ennoway").empty());
  book.set("home", "elsewhere");
  EXPECT_EQ(book.get("home"), "elsewhere");
  EXPECT_EQ(book.get("nothing"), std::nullopt);
  auto series = sample_weather(33);
  series.days.erase(series.days.begin(), series.days.begin() + 20);
  series.days[0].precip_mm = 77;
  series.station.name = "new name";
  const auto stored = book.put_weather(series);
  EXPECT_EQ(stored.replaced, 10);
  EXPECT_EQ(stored.added, 3);
  EXPECT_EQ(book.weather("EV-1").days.size(), 33u);
  EXPECT_EQ(book.weather("EV-1").days[20].precip_mm, 77);
  EXPECT_EQ(book.weather("EV-1").station.name, "new name");
  book.put_note({make_date(2026, 5, 11), {}, 4.0, {}, 12.5});
  EXPECT_EQ(book.notes(), (std::vector<records::WeatherNote>{{make_date(2026, 5, 11), 14.0, 4.0, {}, 12.5}}));
  book.replace_forecast(make_date(2026, 5, 13),
                        {{make_date(2026, 5, 13), make_date(2026, 5, 14), {}, 20.0, {}}});
  ASSERT_EQ(book.forecast().size(), 1u);
  EXPECT_EQ(book.forecast()[0].date, make_date(2026, 5, 14));
}

TEST_F(BookTest, StationsKeepTheirDaysApart) {
  Book book = Book::create(path_);
  auto other = sample_weather(3);
  other.station.id = "EV-2";
  other.days[0].date = make_date(1763, 1, 1);  // the oldest series there is begins then
  book.put_weather(sample_weather(5));
  book.put_weather(other);
  EXPECT_EQ(book.weather("EV-1").days.size(), 5u);
  EXPECT_EQ(book.weather("EV-2").days.size(), 3u);
  EXPECT_EQ(book.weather("EV-2").days[0].date, make_date(1763, 1, 1));
  EXPECT_THROW(book.weather("EV-3"), Error);
}

TEST_F(BookTest, TrackIsReplacedAndItsOutingStays) {
  Book book = Book::create(path_);
  fill_sample(book);
  auto track = sample_track();
  track.resize(7);
  book.replace_track(1, track);
  EXPECT_EQ(book.outing(1)->track, track);
  EXPECT_EQ(book.outing(1)->finds.size(), 2u);
  book.replace_track(1, {});
  EXPECT_TRUE(book.outing(1)->track.empty());
  EXPECT_TRUE(book.outings("ennoway", false)[0].track.empty());
  EXPECT_THROW(book.replace_track(99, track), Error);
}

TEST_F(BookTest, ForecastsAreWrittenOnce) {
  Book book = Book::create(path_);
  fill_sample(book);
  auto again = book.forecasts();
  again[0].index = 0.9;
  book.add_forecasts(again);
  ASSERT_EQ(book.forecasts().size(), 1u);
  EXPECT_EQ(book.forecasts()[0].index, 0.5);
}

TEST_F(BookTest, FindsWithoutAnOutingCountWhereTheyLie) {
  Book book = Book::create(path_);
  book.put_ground(sample_ground());
  book.add_find(sample_find("E01", LatLon{.lat_deg = 42.02, .lon_deg = -30.01}));
  book.add_find(sample_find("E02", LatLon{.lat_deg = 50, .lon_deg = 10}));
  book.add_find(sample_find("E05", std::nullopt));
  const auto finds = book.finds("ennoway");
  ASSERT_EQ(finds.size(), 1u);
  EXPECT_EQ(finds[0].species, "E01");
}

TEST_F(BookTest, WhatCannotBeKeptIsRefusedWhole) {
  Book book = Book::create(path_);
  book.put_ground(sample_ground());
  auto refused = [&](auto change, ErrorCode code) {
    auto outing = sample_outing();
    change(outing);
    try {
      book.add_outing(outing);
      ADD_FAILURE() << "kept";
    } catch (const Error& error) {
      EXPECT_EQ(error.code(), code) << error.what();
    }
    EXPECT_TRUE(book.outings("ennoway").empty());
    EXPECT_TRUE(book.finds("ennoway").empty());
  };
  refused([](auto& o) { o.ground = "nowhere"; }, ErrorCode::not_found);
  refused([](auto& o) { o.finds[1].place = LatLon{.lat_deg = 91, .lon_deg = 0}; }, ErrorCode::bad_value);
  refused([](auto& o) { o.track[30].place.lon_deg = std::numeric_limits<double>::quiet_NaN(); },
          ErrorCode::bad_value);
  refused([](auto& o) { o.minutes = std::numeric_limits<double>::infinity(); }, ErrorCode::bad_value);
  refused([](auto& o) { o.minutes = -1; }, ErrorCode::bad_value);
  refused([](auto& o) { o.finds[1].pieces = 0; }, ErrorCode::bad_value);
  refused([](auto& o) { o.people = 0; }, ErrorCode::bad_value);
  auto find = sample_find();
  find.outing = 5;
  EXPECT_THROW(book.add_find(find), Error);
  EXPECT_THROW(book.replace_hosts("nowhere", sample_hosts()), Error);
  EXPECT_THROW(book.replace_access("ennoway",
                                   {{"ennoway",
                                     "a line",
                                     "open",
                                     {},
                                     {},
                                     "",
                                     {{{.lat_deg = 42, .lon_deg = -30}, {.lat_deg = 42, .lon_deg = -29}}}}}),
               Error);
  book.add_outing(sample_outing());  // and the book goes on
  EXPECT_EQ(book.outings("ennoway").size(), 1u);
}

TEST_F(BookTest, OpenOutlinesComeBackClosed) {
  Book book = Book::create(path_);
  book.put_ground(sample_ground());
  auto areas = sample_access();
  areas[0].rings[0].pop_back();
  book.replace_access("ennoway", areas);
  EXPECT_EQ(book.access("ennoway")[0].rings[0], sample_access()[0].rings[0]);
}

TEST_F(BookTest, HostileTextIsOnlyText) {
  const std::vector<std::string> texts{"'); DROP TABLE find; --",
                                       "Robert\"); --",
                                       "Ägerling – Вёшенка – きのこ 🍄",
                                       std::string("nul\0inside", 10),
                                       "line\nbreak\r\n\ttab",
                                       "\xe2\x80\xaegpkg.exe",
                                       "\xff\xfe not UTF-8",
                                       std::string(200'000, 'x'),
                                       "%s%n{}{0}",
                                       "=cmd()"};
  Book book = Book::create(path_);
  for (const std::string& text : texts) {
    auto ground = sample_ground(text);
    ground.title = text;
    book.put_ground(ground);
    auto outing = sample_outing(text);
    outing.note = outing.observer = outing.targets[0] = outing.finds[0].note =
        outing.finds[0].name_as_recorded = text;
    const auto id = book.add_outing(outing);
    const auto back = book.outing(id);
    ASSERT_TRUE(back);
    EXPECT_EQ(back->note, text);
    EXPECT_EQ(back->ground, text);
    EXPECT_EQ(back->targets[0], text);
    EXPECT_EQ(back->finds[0].name_as_recorded, text);
    book.set(text, text);
    EXPECT_EQ(book.get(text), text);
  }
  EXPECT_EQ(book.grounds().size(), texts.size());
}

RC_GTEST_PROP(Track, ComesBackToTheLastBit, ()) {
  static base::TemporaryFolder folder;
  static Book book = [] {
    Book made = Book::create(folder.path() / "t.gpkg");
    made.put_ground(sample_ground());
    return made;
  }();
  auto outing = sample_outing();
  outing.track.clear();
  const int n = *rc::gen::inRange(0, 60);
  for (int i = 0; i < n; ++i) {
    records::TrackPoint point;
    point.place = {.lat_deg = *rc::gen::inRange(-900000000, 900000001) * 1e-7,
                   .lon_deg = *rc::gen::inRange(-1800000000, 1800000001) * 1e-7};
    if (*rc::gen::arbitrary<bool>())
      point.time = Instant{std::chrono::seconds{*rc::gen::arbitrary<std::int32_t>()}};
    if (*rc::gen::arbitrary<bool>()) point.elevation_m = *rc::gen::arbitrary<std::int16_t>() / 3.0;
    point.segment = *rc::gen::inRange(-2, 5);
    outing.track.push_back(point);
  }
  RC_ASSERT(book.outing(book.add_outing(outing))->track == outing.track);
}

TEST_F(BookTest, HundredThousandFinds) {
  Book book = Book::create(path_);
  book.put_ground(sample_ground());
  auto outing = sample_outing();
  outing.finds.assign(100'000, sample_find());
  for (std::size_t i = 0; i < outing.finds.size(); ++i)
    outing.finds[i].place->lat_deg += static_cast<double>(i % 1000) * 1e-5;
  const auto begin = std::chrono::steady_clock::now();
  book.add_outing(outing);
  const auto written = std::chrono::steady_clock::now();
  EXPECT_EQ(book.finds("ennoway").size(), 100'000u);
  const auto read = std::chrono::steady_clock::now();
  auto seconds = [](auto a, auto b) { return std::chrono::duration<double>(b - a).count(); };
  std::cout << "100 000 finds: written in " << seconds(begin, written) << " s, read in "
            << seconds(written, read) << " s\n";
  EXPECT_LT(seconds(begin, read), 60);  // loose: for a sanitizer on a busy machine
}

}  // namespace
}  // namespace stumpwise::book
