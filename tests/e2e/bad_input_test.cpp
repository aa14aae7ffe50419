// Bad input: a clear message, exit 1 or 2, nothing on the output and nothing half-written. Needs no shared
// data.
#include <cmath>

#include "run.h"
#include "stumpwise/base/date.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::e2e {
namespace {

using testing::AllOf;
using testing::AnyOf;
using testing::ContainsRegex;
using testing::HasSubstr;

/// Where the demo valley lies too: open sea, so that no one's land is meant.
const LatLon kCentre{.lat_deg = 42.0, .lon_deg = -29.98};
const std::string kStart = "42.0,-29.98";

/// A wooded hillside of n x n cells of 10 m around kCentre, shifted east by `east_m`; heights in units of
/// `unit_m` metres.
raster::Grid hillside(int n, double east_m = 0, double unit_m = 1) {
  const auto middle = earth::Utm::for_place(kCentre).forward(kCentre);
  const double left = std::floor(middle.x_m / 10 - n / 2) * 10 + east_m,
               top = std::floor(middle.y_m / 10 + n / 2) * 10;
  raster::Grid dem({left, top, 10, n, n, 32626}, raster::Quantity::elevation_m, 0);
  for (int row = 0; row < n; ++row)
    for (int col = 0; col < n; ++col) {
      const double x = (col + east_m / 10) / 12.0, y = row / 15.0;
      dem.at(col, row) = static_cast<float>((300 + 12 * std::sin(x) * std::cos(y) + 3 * y) / unit_m);
    }
  return dem;
}

std::string weather_csv() {
  std::string text = "date,tmin_c,tmax_c,precip_mm\n";
  for (Date day = base::require_date("2023-01-01", "first"); day <= base::require_date("2026-05-11", "last");
       day = base::plus_days(day, 1)) {
    const double season = std::sin((base::day_of_year(day) - 110) * 2 * 3.14159265 / 365);
    const int turn = base::day_of_year(day) % 5;
    text += base::to_text(day) + "," + std::to_string(4 + 8 * season) + "," +
            std::to_string(13 + 9 * season) + "," + (turn == 0 ? "9.5" : "0.4") + "\n";
  }
  return text;
}

class BadInput : public testing::Test {
 protected:
  BadInput() {
    raster::write_geotiff(desk.folder() / "dem.tif", hillside(160));
    write_text(desk.folder() / "days.csv", weather_csv());
  }
  std::vector<std::string> ground_words(const std::string& dem = "dem.tif",
                                        const std::string& name = "hill") const {
    return {"ground", "add", name, "--dem", dem, "--region", "EU+NA-E", "--tz", "America/Nuuk"};
  }
  static std::vector<std::string> with(std::vector<std::string> words, const std::vector<std::string>& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
  }
  void lay_out() {
    desk.json(ground_words());
    desk.json({"weather", "add", "days.csv", "--station", "Home", "--lat", "42.0", "--lon", "-30.0", "--elev",
               "300"});
  }
  /// Both with and without --json: refused with `status`, every text of `says` on stderr, nothing on stdout,
  /// nothing changed.
  std::string refused(const std::vector<std::string>& words, int status,
                      const std::vector<std::string>& says) {
    std::string told;
    for (const bool json : {false, true}) {
      const auto before = desk.listing();
      const Answer answer = desk.run(json ? with(words, {"--json"}) : words);
      EXPECT_EQ(answer.status, status) << base_name(words) << "\n" << answer.err;
      EXPECT_EQ(answer.out, "") << base_name(words);
      EXPECT_THAT(answer.err, testing::StartsWith("stumpwise: ")) << base_name(words);
      for (const std::string& text : says) EXPECT_THAT(answer.err, HasSubstr(text)) << base_name(words);
      EXPECT_EQ(desk.listing(), before) << base_name(words) << ": something was left behind or changed";
      told = answer.err;
    }
    return told;
  }
  static std::string base_name(const std::vector<std::string>& words) {
    std::string all;
    for (const std::string& each : words) all += each + " ";
    return all;
  }
  /// What stands after a sentence's beginning, up to the next blank or full stop.
  static std::string after(const std::string& text, const std::string& before) {
    const auto at = text.find(before);
    if (at == std::string::npos) return {};
    const auto from = at + before.size();
    std::string word = text.substr(from, text.find_first_of(" \n", from) - from);
    while (!word.empty() && (word.back() == '.' || word.back() == ',')) word.pop_back();
    return word;
  }

  Desk desk{"2026-05-11"};
};

TEST_F(BadInput, ElevationThatIsMissingTruncatedOrNoRaster) {
  refused(ground_words("nowhere.tif"), 1, {"nowhere.tif", "no such file", "Check the path"});

  fs::copy_file(desk.folder() / "dem.tif", desk.folder() / "cut.tif");
  fs::resize_file(desk.folder() / "cut.tif", fs::file_size(desk.folder() / "cut.tif") * 6 / 10);
  refused(ground_words("cut.tif"), 1, {"cut.tif", "truncated or damaged"});
  fs::resize_file(desk.folder() / "cut.tif", 100);
  refused(ground_words("cut.tif"), 1, {"cut.tif", "cannot be read", "Check that the file is whole"});
  write_text(desk.folder() / "note.tif", "not a raster at all\n");
  refused(ground_words("note.tif"), 1, {"note.tif", "cannot be read as a raster"});
  write_text(desk.folder() / "empty.tif", "");
  refused(ground_words("empty.tif"), 1, {"empty.tif"});
  // A good tile beside a bad one does not save it.
  refused(with(ground_words(), {"--dem", "nowhere.tif"}), 1, {"nowhere.tif"});
}

TEST_F(BadInput, ElevationWithoutProjection) {
  // An ASCII grid has no projection of its own.
  std::string text = "ncols 4\nnrows 4\nxllcorner 500000\nyllcorner 4600000\ncellsize 10\n";
  for (int row = 0; row < 4; ++row) text += "300 301 302 303\n";
  write_text(desk.folder() / "bare.asc", text);
  refused(ground_words("bare.asc"), 1, {"bare.asc", "no projection", "write the coordinate system into it"});
}

TEST_F(BadInput, CoverElsewhereOrWithoutItsLegend) {
  raster::Grid far = hillside(40, 60'000);
  for (float& value : far.values) value = 41;
  raster::write_geotiff(desk.folder() / "cover.tif", far);
  refused(with(ground_words(), {"--cover", "cover.tif", "--legend", "nlcd"}), 1,
          {"cover.tif", "overlap", "same land"});
  refused(with(ground_words(), {"--cover", "cover.tif"}), 2, {"--cover needs --legend", "nlcd"});
  refused(with(ground_words(), {"--cover", "cover.tif", "--legend", "nlcdd"}), 1,
          {"nlcdd", "Shipped:", "corine"});
  // Over the land, but of codes that the legend does not know.
  raster::Grid strange = hillside(160);
  for (float& value : strange.values) value = 199;
  raster::write_geotiff(desk.folder() / "strange.tif", strange);
  refused(with(ground_words(), {"--cover", "strange.tif", "--legend", "nlcd"}), 1, {"legend", "right one"});
}

TEST_F(BadInput, GroundWordsThatAreOff) {
  refused({"ground", "add", "a/b", "--dem", "dem.tif", "--region", "EU", "--tz", "Europe/Berlin"}, 2,
          {"a/b", "letters, digits"});
  refused({"ground", "add", "hill", "--dem", "dem.tif", "--region", "XX", "--tz", "Europe/Berlin"}, 2,
          {"XX", "NA-W"});
  refused({"ground", "add", "hill", "--dem", "dem.tif", "--region", "EU", "--tz", "Europe/Berln"}, 1,
          {"Europe/Berln", "Europe/Berlin"});
  refused(with(ground_words(), {"--cell", "0"}), 2, {"--cell 0", "1 to 1000"});
  refused(with(ground_words(), {"--cell", "ten"}), 2, {"--cell", "ten", "number"});
  refused(with(ground_words(), {"--around", "10,10,3"}), 1, {"--around", "outside the elevation model"});
  refused(with(ground_words(), {"--around", "42.0,-29.98"}), 2, {"--around", "LAT,LON,KM"});
  refused(with(ground_words(), {"--dem-unit", "ell"}), 2, {"--dem-unit", "ell", "m or ft"});
  // Metres read as what they are not: 300 thousand metres is no land.
  raster::Grid wrong = hillside(40);
  for (float& value : wrong.values) value *= 1000;
  raster::write_geotiff(desk.folder() / "mm.tif", wrong);
  refused(ground_words("mm.tif"), 1, {"mm.tif", "outside -500 to 9000 m"});
}

TEST_F(BadInput, AllFaultsOfAWeatherFileAtOnce) {
  write_text(desk.folder() / "bad.csv",
             "date,tmin_c,tmax_c,precip_mm\n"
             "2025-02-27,3,9,0\n"
             "2025-02-28,9,3,0\n"      // line 3: Tmin above Tmax
             "2025-02-31,3,9,0\n"      // line 4: no such day
             "2025-03-01,3,9,-2.5\n"   // line 5: negative rain
             "2025-03-02,38,95,0\n"    // line 6: degrees Fahrenheit
             "2025-03-03,3,9,wet\n");  // line 7: no number
  const std::vector<std::string> words{"weather", "add",   "bad.csv", "--station", "Home", "--lat",
                                       "42.0",    "--lon", "-30.0",   "--elev",    "300"};
  const std::string told = refused(
      words, 1,
      {"bad.csv: 5 faults", "bad.csv:3: tmin", "bad.csv:4: date", "2025-02-31", "bad.csv:5: precip", "-2.5",
       "bad.csv:6: tmax", "95", "-90 to 60", "bad.csv:7: precip", "wet", "Nothing was stored"});
  EXPECT_THAT(told, testing::Not(HasSubstr("bad.csv:2")));
  // The same with a book that already holds the station: nothing of it is replaced.
  lay_out();
  refused(words, 1, {"bad.csv: 5 faults"});
  refused(
      {"weather", "add", "gone.csv", "--station", "Home", "--lat", "42.0", "--lon", "-30.0", "--elev", "300"},
      1, {"gone.csv", "cannot be opened"});
  refused({"weather", "add", "days.csv", "--station", "Home"}, 2, {"Home", "--lat", "--lon"});
  refused(
      {"weather", "add", "days.csv", "--station", "Home", "--lat", "142", "--lon", "-30", "--elev", "300"}, 2,
      {"142", "-90 to 90"});
  refused(
      {"weather", "add", "dem.tif", "--station", "Home", "--lat", "42.0", "--lon", "-30.0", "--elev", "300"},
      1, {"dem.tif"});
  refused({"weather", "note", "--rain", "-4"}, 2, {"--rain -4", "0 to 1900 mm"});
  refused({"weather", "note", "--tmin", "9", "--tmax", "3"}, 2, {"--tmin 9", "--tmax 3"});
  refused({"weather", "forecast", "--days", "6/17/0 9/3/1"}, 2, {"9"});
}

TEST_F(BadInput, SpeciesThatNoOneKnows) {
  lay_out();
  refused({"outlook", "--species", "Quercus robur"}, 1, {"Quercus robur", "not known", "species list"});
  const std::string told =
      refused({"outlook", "--species", "Cerioporus"}, 1, {"Cerioporus", "Cerioporus squamosus"});
  EXPECT_THAT(told, HasSubstr("Near"));
  refused({"prospect", "--species", "Pleurotus osteratu xx", "--out", "p.tif"}, 1, {"Pleurotus"});
  refused({"species", "show", "X99"}, 1, {"X99"});
  // One letter off is read as what was meant, and said.
  EXPECT_THAT(notes_of(desk.json({"outlook", "--species", "Cerioporus squamosis", "--days", "1"})),
              HasSubstr("is read as Cerioporus squamosus"));
}

TEST_F(BadInput, WalksThatCannotBe) {
  lay_out();
  const std::vector<std::string> plan{"plan", "--start", kStart, "--species", "E01"};
  refused({"plan", "--start", "43.5,-29.98", "--hours", "3"}, 2,
          {"43.50000,-29.98000", "outside the ground", "The ground reaches from"});
  refused(with(plan, {"--hours", "0"}), 2, {"--hours 0", "above 0"});
  refused(with(plan, {"--hours", "-2"}), 2, {"--hours -2"});
  refused(with(plan, {"--hours", "25"}), 2, {"--hours 25", "at most 24"});
  refused(with(plan, {"--hours", "three"}), 2, {"--hours", "three"});
  refused(with(plan, {"--hours", "3", "--must", "9999"}), 2, {"9999", "does not exist"});
  refused(with(plan, {"--hours", "3", "--date", "2026-02-31"}), 2, {"2026-02-31", "no day of the calendar"});
  refused(with(plan, {"--hours", "3", "--depart", "25:00"}), 2, {"25:00"});
  refused(with(plan, {"--hours", "3", "--date", "1990-05-01"}), 1, {"1990-05-01", "no weather"});
  refused({"outlook", "--from", "1990-05-01"}, 1, {"1990-05-01", "no weather"});
  refused({"prospect", "--species", "E01", "--date", "1990-05-01", "--out", "p.tif"}, 1,
          {"1990-05-01", "no weather"});
  refused(with(plan, {"--hours", "3", "--gpx", "/proc/nowhere/walk.gpx"}), 1, {"/proc/nowhere/walk.gpx"});
  refused({"prospect", "--species", "E01", "--out", "/proc/nowhere/p.tif"}, 1, {"/proc/nowhere/p.tif"});
  refused({"plan", "--hours", "3"}, 2, {"--start is required", "plan --help"});
  refused({"plann", "--hours", "3"}, 2, {"plann", "Nearest", "plan"});
}

TEST_F(BadInput, LeavingAfterSunsetNamesTheLatestStartAndItWorks) {
  lay_out();
  const std::vector<std::string> plan{"plan", "--start", kStart, "--species",
                                      "E01",  "--hours", "3",    "--depart"};
  const std::string told =
      refused(with(plan, {"23:30"}), 1, {"too late", "sunset", "The latest start that still works is "});
  const std::string latest = after(told, "The latest start that still works is ");
  ASSERT_EQ(latest.size(), 5u) << told;
  const Json walk = desk.json(with(plan, {latest}));
  EXPECT_FALSE(walk.at("stops").empty());
  EXPECT_THAT(walk.at("depart").get<std::string>(), HasSubstr("T" + latest));
  EXPECT_LE(walk.at("end_time").get<std::string>(), walk.at("deadline").get<std::string>());
  // The latest departure that an earlier plan prints for its own walk keeps every stop's turn-back time as
  // well.
  const Json early = desk.json(with(plan, {"09:00"}));
  EXPECT_GT(early.at("latest_depart").get<std::string>(), early.at("depart").get<std::string>());
}

TEST_F(BadInput, TooFewHoursNameTheShortestWalkAndItWorks) {
  lay_out();
  const std::vector<std::string> plan{"plan", "--start", kStart, "--species", "E01", "--hours"};
  const std::string told =
      refused(with(plan, {"0.01"}), 1, {"no patch", "The shortest walk that works takes", "--hours "});
  const std::string shortest = after(told, "say --hours ");
  ASSERT_FALSE(shortest.empty()) << told;
  const Json walk = desk.json(with(plan, {shortest}));
  EXPECT_FALSE(walk.at("stops").empty());
  EXPECT_LE(walk.at("total").at("minutes").get<double>(), std::stod(shortest) * 60 + 0.5);
}

TEST_F(BadInput, BooksThatAreNone) {
  desk.set("STUMPWISE_BOOK", "");
  refused({"today"}, 2, {"no book was named", "STUMPWISE_BOOK", "demo"});
  refused({"ground", "add", "hill", "--dem", "dem.tif", "--region", "EU", "--tz", "Europe/Berlin"}, 2,
          {"no book was named"});
  refused({"today", "--book", "none.gpkg"}, 1, {"none.gpkg", "demo"});
  write_text(desk.folder() / "text.gpkg", "hello\n");
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"today"}, {"outlook"}, ground_words()})
    refused(with(words, {"--book", "text.gpkg"}), 1, {"text.gpkg is no book"});
  if (has_tool("ogr2ogr")) {
    write_text(desk.folder() / "points.csv", "x,y\n1,2\n");
    ASSERT_EQ(desk.tool("ogr2ogr", {"-f", "GPKG", "other.gpkg", "points.csv", "-oo", "X_POSSIBLE_NAMES=x",
                                    "-oo", "Y_POSSIBLE_NAMES=y"})
                  .status,
              0);
    refused({"today", "--book", "other.gpkg"}, 1, {"other.gpkg is no book"});
  }
}

TEST_F(BadInput, ABookOfANewerProgramIsLeftAlone) {
  lay_out();
  const std::string later =
      "insert into stumpwise_schema values (99, 'a later step', '2030-01-01T00:00:00Z');";
  const Answer bumped =
      has_tool("sqlite3")
          ? desk.tool("sqlite3", {"my.gpkg", later})
          : desk.tool(
                "python3",
                {"-c", "import sqlite3,sys; c=sqlite3.connect('my.gpkg'); c.execute(sys.argv[1]); c.commit()",
                 later});
  ASSERT_EQ(bumped.status, 0) << bumped.err;
  const std::string bytes = base::sha256_file(desk.path("my.gpkg"));
  for (const std::vector<std::string>& words : {std::vector<std::string>{"today"},
                                                {"plan", "--start", kStart, "--hours", "3"},
                                                {"weather", "note", "--rain", "4"},
                                                ground_words("dem.tif", "second")})
    refused(words, 1, {"my.gpkg", "newer program", "99"});
  EXPECT_EQ(base::sha256_file(desk.path("my.gpkg")), bytes) << "to the byte";
}

TEST_F(BadInput, GoodOddInputFeetZipTilesAndACutOut) {
  // Feet, a zip and two tiles give the same land as one file in metres.
  desk.json(ground_words());
  raster::write_geotiff(desk.folder() / "feet.tif", hillside(160, 0, 0.3048));
  desk.json(with(ground_words("feet.tif", "feet"), {"--dem-unit", "ft"}));
  const raster::Grid whole = raster::read_grid(desk.path("my.files/hill/dem.tif"));
  const auto same = [&](const std::string& name) {
    const raster::Grid other = raster::read_grid(desk.path("my.files/" + name + "/dem.tif"));
    ASSERT_EQ(other.values.size(), whole.values.size()) << name;
    float worst_m = 0;
    for (std::size_t i = 0; i < whole.values.size(); ++i)
      worst_m = std::max(worst_m, std::abs(whole.values[i] - other.values[i]));
    EXPECT_LT(worst_m, 0.01f) << name;
  };
  same("feet");
  // A factor of 0.3048 was really applied: without it the same file lies three times as high.
  desk.json(ground_words("feet.tif", "high"));
  EXPECT_NEAR(raster::read_grid(desk.path("my.files/high/dem.tif")).at(80, 80), whole.at(80, 80) / 0.3048,
              0.1);

  // Tiles: the western and the eastern half.
  raster::Grid west = hillside(160), east = hillside(160);
  for (int row = 0; row < 160; ++row)
    for (int col = 0; col < 160; ++col) (col < 80 ? east : west).at(col, row) = std::nanf("");
  raster::write_geotiff(desk.folder() / "west.tif", west);
  raster::write_geotiff(desk.folder() / "east.tif", east);
  desk.json(with(ground_words("west.tif", "tiles"), {"--dem", "east.tif"}));
  same("tiles");
  if (has_tool("python3")) {
    ASSERT_EQ(desk.tool("python3", {"-m", "zipfile", "-c", "one.zip", "dem.tif"}).status, 0);
    desk.json(ground_words("one.zip", "zipped"));
    same("zipped");
    ASSERT_EQ(desk.tool("python3", {"-m", "zipfile", "-c", "two.zip", "west.tif", "east.tif"}).status, 0);
    refused(ground_words("two.zip", "both"), 2, {"two.zip", "/vsizip/two.zip/west.tif"});
    desk.json({"ground", "add", "both", "--dem", "/vsizip/two.zip/west.tif", "/vsizip/two.zip/east.tif",
               "--region", "EU+NA-E", "--tz", "America/Nuuk"});
    same("both");
    // A zip that was cut off.
    fs::resize_file(desk.folder() / "one.zip", fs::file_size(desk.folder() / "one.zip") / 2);
    refused(ground_words("one.zip", "half"), 1, {"one.zip"});
  }
  // A cut-out of 300 m around the centre.
  const Json cut = desk.json(with(ground_words("dem.tif", "cut"), {"--around", kStart + ",0.3"}));
  EXPECT_NEAR(cut.at("cols").get<double>(), 60, 2);
  const raster::Grid part = raster::read_grid(desk.path("my.files/cut/dem.tif"));
  const auto middle = whole.bilinear(part.georef.x_of(30), part.georef.y_of(30));
  ASSERT_TRUE(middle.has_value());
  EXPECT_NEAR(part.at(30, 30), *middle, 0.2);
  // Finer than the cells: the mean of the finer ones, so that one spike does not stand for its whole cell.
  const Json coarse = desk.json(with(ground_words("dem.tif", "coarse"), {"--cell", "40"}));
  EXPECT_NEAR(coarse.at("cols").get<double>(), 40, 1);
}

TEST_F(BadInput, CtrlCInTheMiddleOfAGroundLeavesNothing) {
  raster::write_geotiff(desk.folder() / "big.tif", hillside(1800));
  const auto staged = [&](const std::string& file) {
    return [this, file] {
      std::error_code ignored;
      for (const auto& entry : fs::directory_iterator(desk.folder() / "my.files", ignored))
        if (entry.path().filename().string().rfind(".hill.", 0) == 0 &&
            fs::exists(entry.path() / file, ignored))
          return true;
      return false;
    };
  };
  int stopped = 0;
  for (const bool book_there : {false, true}) {
    if (book_there) lay_out();  // a ground of the same name, which must stay as it was
    for (const std::string at : {"derived", "dem.tif", "derived/slope.tif"}) {
      const auto before = desk.listing();
      bool pressed = false;
      const Answer answer = desk.interrupted(ground_words("big.tif"), staged(at), pressed);
      ASSERT_TRUE(pressed) << "the program ended before Ctrl-C: " << answer.err;
      EXPECT_EQ(answer.status, 1) << at;
      EXPECT_EQ(answer.out, "") << at;
      EXPECT_THAT(answer.err, HasSubstr("stopped on request")) << at;
      EXPECT_EQ(desk.listing(), before) << at << (book_there ? ", book there" : ", no book");
      stopped += answer.status == 1;
    }
  }
  EXPECT_EQ(stopped, 6);
  // And the ground that stood before still plans.
  EXPECT_FALSE(
      desk.json({"plan", "--start", kStart, "--hours", "2", "--species", "E01"}).at("stops").empty());
}

TEST_F(BadInput, CtrlCInTheMiddleOfTheDemoLeavesNothing) {
  const auto inside = [&](const std::string& name) {
    return [this, name] {
      std::error_code ignored;
      for (auto each = fs::recursive_directory_iterator(desk.folder() / "valley", ignored);
           each != fs::recursive_directory_iterator(); each.increment(ignored))
        if (each->path().filename() == name) return true;
      return false;
    };
  };
  for (const std::string at : {"source", "dem.tif", "ennoway.gpkg"}) {
    const auto before = desk.listing();
    bool pressed = false;
    const Answer answer = desk.interrupted({"demo", "valley"}, inside(at), pressed);
    ASSERT_TRUE(pressed) << answer.err;
    EXPECT_EQ(answer.status, 1) << at;
    EXPECT_EQ(answer.out, "") << at;
    EXPECT_THAT(answer.err, HasSubstr("stopped on request")) << at;
    EXPECT_EQ(desk.listing(), before) << at;
  }
  // What the user has in the folder stays.
  fs::create_directories(desk.folder() / "valley/source");
  write_text(desk.folder() / "valley/source/mine.txt", "mine\n");
  refused({"demo", "valley"}, 2, {"source", "stands there already"});
}

}  // namespace
}  // namespace stumpwise::e2e
