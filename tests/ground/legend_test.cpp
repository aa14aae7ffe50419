#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <set>

#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"
#include "stumpwise/ground/layers.h"
#include "stumpwise/raster/file.h"
#include "stumpwise/species/library.h"

namespace stumpwise::ground {
namespace {

Parsed<Legend> read_text(const std::string& text) {
  const base::TemporaryFolder folder;
  const auto path = folder.path() / "legend.toml";
  base::write_file_atomic(path, text);
  return read_legend(path.string());
}

const Issue* issue_at(const Parsed<Legend>& legend, int line) {
  for (const Issue& issue : legend.issues)
    if (issue.line == line) return &issue;
  return nullptr;
}

std::filesystem::path shipped(const std::string& name) {
  return std::filesystem::path(STUMPWISE_SOURCE_DIR) / "legends" / name;
}

Legend read_shipped(const std::string& name) {
  return base::value_or_throw(read_legend(shipped(name).string()), name);
}

const CoverClass& class_of(const Legend& legend, int value) {
  for (const CoverClass& cover : legend.classes)
    if (cover.value == value) return cover;
  throw std::runtime_error("no class " + std::to_string(value));
}

TEST(ReadLegend, ValuesAndCodesInTheOrderOfTheFile) {
  const auto legend = read_text(R"(name = "mine"
source = "my own walks"
[[class]]
value = 3292
name = "pond"
canopy = 0
water = true
[[class]]
value = 7
name = "elms"
canopy = 0.8
dead_wood = 0.4
trees_unspecified = true
genera = { Ulmus = [0.5, 0.2], Acer = [0.1, 0.1] }
)");
  ASSERT_TRUE(legend.ok()) << base::to_text(legend.issues);
  ASSERT_EQ(legend.value.classes.size(), 2u);
  const CoverClass& elms = legend.value.classes[1];
  EXPECT_EQ(legend.value.classes[0].value, 3292);
  EXPECT_EQ(legend.value.classes[0].code, 0);
  EXPECT_TRUE(legend.value.classes[0].water);
  EXPECT_EQ(elms.code, 1);
  EXPECT_EQ(elms.canopy, 0.8);
  EXPECT_EQ(elms.dead_wood, 0.4);
  EXPECT_TRUE(elms.trees_unspecified);
  EXPECT_EQ(elms.genera.at("Ulmus"), (std::pair{0.5, 0.2}));
}

TEST(ReadLegend, EveryFaultAtOnceWithItsLine) {
  const auto legend = read_text(R"(name = ""
colour = "green"
[[class]]
value = -4
name = "a"
canopy = 1.5
[[class]]
value = 5
canopy = 0.5
water = "yes"
genera = { ulmus = [0.2, 0.1] }
[[class]]
value = 5
name = "b"
canopy = 0.5
canoopy = 0.2
genera = { Ulmus = 0.3 }
[[class]]
value = 6
name = "c"
canopy = 0.9
genera = { Ulmus = [0.7, 0.1], Acer = [0.6, 0.1] }
)");
  EXPECT_FALSE(legend.ok());
  for (const int line : {1, 2, 4, 6, 7, 10, 11, 12, 16, 17, 18})
    EXPECT_TRUE(issue_at(legend, line)) << "no fault on line " << line << "\n"
                                        << base::to_text(legend.issues);
  EXPECT_THAT(base::to_text(legend.issues), testing::HasSubstr("did you mean canopy?"));
  EXPECT_THAT(base::to_text(legend.issues),
              testing::HasSubstr("is missing"));  // the source, the name of class 2
  EXPECT_THAT(issue_at(legend, 12)->text, testing::HasSubstr("5 stands already on line 7"));
}

TEST(ReadLegend, BrokenTomlIsOneFaultWithItsLine) {
  const auto legend = read_text("name = \"x\"\nsource = [\n");
  ASSERT_EQ(legend.issues.size(), 1u);
  EXPECT_GE(legend.issues[0].line, 2);
  EXPECT_THROW(read_legend("/no/such/legend.toml"), Error);
}

TEST(ReadLegend, MoreThan255ClassesAreTooMany) {
  std::string text = "name = \"x\"\nsource = \"y\"\n";
  for (int i = 0; i < 256; ++i)
    text += "[[class]]\nvalue = " + std::to_string(i) + "\nname = \"c\"\ncanopy = 0\n";
  const auto legend = read_text(text);
  ASSERT_EQ(legend.issues.size(), 1u);
  EXPECT_EQ(legend.value.classes.size(), 255u);
  EXPECT_EQ(legend.value.classes.back().code, 254);
}

TEST(ReadLegend, SharesBeyondTheCanopyAreAWarning) {
  const auto legend = read_text(
      "name = \"x\"\nsource = \"y\"\n[[class]]\nvalue = 1\nname = \"c\"\ncanopy = 0.2\ngenera = { Ulmus = "
      "[0.5, 0.1] }\n");
  EXPECT_TRUE(legend.ok());
  ASSERT_EQ(legend.issues.size(), 1u);
  EXPECT_EQ(legend.issues[0].severity, Severity::warning);
}

// All public values of each nomenclature, none more.
TEST(ShippedLegends, HoldTheirNomenclature) {
  auto values = [](const Legend& legend) {
    std::vector<int> result;
    for (const CoverClass& cover : legend.classes) result.push_back(cover.value);
    return result;
  };
  EXPECT_THAT(
      values(read_shipped("nlcd.toml")),
      testing::ElementsAre(11, 12, 21, 22, 23, 24, 31, 41, 42, 43, 51, 52, 71, 72, 73, 74, 81, 82, 90, 95));
  EXPECT_THAT(values(read_shipped("simple8.toml")), testing::ElementsAre(1, 2, 3, 4, 5, 6, 7, 8));
  const auto corine = values(read_shipped("corine.toml"));
  EXPECT_EQ(corine.size(), 44u);
  EXPECT_EQ(corine.front(), 111);
  EXPECT_EQ(corine.back(), 523);
  EXPECT_TRUE(std::is_sorted(corine.begin(), corine.end()));
}

TEST(ShippedLegends, NoIssueAtAllAndEachSaysWhatIsAssumed) {
  for (const auto& entry : std::filesystem::directory_iterator(shipped(""))) {
    if (entry.path().extension() != ".toml") continue;
    const auto legend = read_legend(entry.path().string());
    EXPECT_TRUE(legend.issues.empty()) << base::to_text(legend.issues);
    EXPECT_THAT(legend.value.source, testing::HasSubstr("ssum")) << entry.path();
  }
}

TEST(ShippedLegends, WaterIsWaterAndForestIsUnspecified) {
  for (const auto& [file, water, forest] :
       {std::tuple{"nlcd.toml", 11, 41}, {"simple8.toml", 1, 4}, {"corine.toml", 512, 311}}) {
    const Legend legend = read_shipped(file);
    EXPECT_TRUE(class_of(legend, water).water) << file;
    EXPECT_TRUE(class_of(legend, forest).trees_unspecified) << file;
    EXPECT_GT(class_of(legend, forest).canopy, 0.7) << file;
  }
  // Where the class names its trees the band need not be wide: red fir forest of the Sierra.
  const Legend sierra = read_shipped("evt-sierra.toml");
  EXPECT_FALSE(class_of(sierra, 3032).trees_unspecified);
  EXPECT_GT(class_of(sierra, 3032).genera.at("Abies").first, 0.4);
}

// A misspelt genus would silently be no host: every host of every profile stands in one legend at least, or
// is a state of the host character (small trees that no land cover names, such as hazel).
TEST(ShippedLegends, KnowTheHostsOfTheProfiles) {
  std::set<std::string> genera;
  for (const auto& entry : std::filesystem::directory_iterator(shipped("")))
    if (entry.path().extension() == ".toml")
      for (const CoverClass& cover : read_shipped(entry.path().filename().string()).classes)
        for (const auto& [genus, share] : cover.genera) genera.insert(genus);
  const auto library = species::Library::read(STUMPWISE_SOURCE_DIR);
  ASSERT_FALSE(library.value.profiles().empty());
  for (std::string genus : library.value.character("C39")->states) {
    genus[0] = static_cast<char>(std::toupper(genus[0]));
    genera.insert(genus);
  }
  for (const species::Profile& profile : library.value.profiles())
    for (const species::HostWeight& host : profile.hosts)
      EXPECT_TRUE(genera.count(host.genus)) << profile.id << " " << host.genus;
}

// Real rasters: every value in them has a class (data/place and data/terrain of the shared data).
TEST(ShippedLegends, KnowTheValuesOfRealRasters) {
  namespace fs = std::filesystem;
  const char* given = std::getenv("STUMPWISE_SHARED");
  fs::path data = given ? fs::path(given) : fs::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
  if (fs::exists(data / "data")) data /= "data";
  if (!fs::exists(data / "place")) GTEST_SKIP() << "needs data/place and data/terrain of the shared data";
  struct Case {
    const char *legend, *raster;
    int some_value;
  };
  for (const Case& each : {Case{"evt-sierra.toml", "place/sagehen/evt-utm10.tif", 3032},
                           {"nlcd.toml", "place/durham/nlcd-utm17.tif", 41},
                           {"simple8.toml", "terrain/nlcd.tif", 4}}) {
    const Legend legend = read_shipped(each.legend);
    std::map<int, std::uint8_t> codes;
    for (const CoverClass& cover : legend.classes) codes[cover.value] = cover.code;
    const std::string file = (data / each.raster).string();
    const auto info = raster::raster_info(file);
    const auto georef = raster::ground_georef({info}, 60,
                                              LatLon{(info.south_west.lat_deg + info.north_east.lat_deg) / 2,
                                                     (info.south_west.lon_deg + info.north_east.lon_deg) / 2},
                                              1.5);
    const raster::ClassGrid grid = raster::warp_classes({file}, georef, codes);
    EXPECT_EQ(std::count(grid.codes.begin(), grid.codes.end(), raster::ClassGrid::kNone), 0) << each.raster;
    EXPECT_GT(std::count(grid.codes.begin(), grid.codes.end(), codes.at(each.some_value)), 0) << each.raster;
  }
}

}  // namespace
}  // namespace stumpwise::ground
