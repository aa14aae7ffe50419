// The same asked twice is answered the same: the demo from its seed, the plan whatever the number of threads.
#include "run.h"

namespace stumpwise::e2e {
namespace {

const std::vector<std::string> kPlan{"plan", "--start", "41.99531,-29.96894", "--hours",   "4",   "--days",
                                     "2",    "--date",  "2026-05-11",         "--species", "E01", "O22",
                                     "X04"};

/// Every file below `folder`, with its SHA-256.
std::map<std::string, std::string> hashes(const fs::path& folder) {
  std::map<std::string, std::string> all;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file())
      all[fs::relative(entry.path(), folder).string()] = base::sha256_file(entry.path());
  return all;
}

TEST(Determinism, TheSameSeedMakesTheSameValleyAndTheSamePlan) {
  Desk first, second, other;
  ASSERT_EQ(first.run({"demo", "valley", "--seed", "5"}).status, 0);
  ASSERT_EQ(second.run({"demo", "valley", "--seed", "5"}).status, 0);
  ASSERT_EQ(other.run({"demo", "valley", "--seed", "6"}).status, 0);
  const auto sources = hashes(first.path("valley/source"));
  EXPECT_GT(sources.size(), 45u) << "land, weather and at least 40 outings";
  EXPECT_EQ(sources, hashes(second.path("valley/source")));
  EXPECT_EQ(hashes(first.path("valley/ennoway.files")), hashes(second.path("valley/ennoway.files")));
  const auto others = hashes(other.path("valley/source"));
  EXPECT_NE(sources.at("dem.tif"), others.at("dem.tif"));
  EXPECT_NE(sources.at("weather.csv"), others.at("weather.csv"));

  for (Desk* desk : {&first, &second}) desk->set("STUMPWISE_BOOK", desk->path("valley/ennoway.gpkg"));
  for (const std::vector<std::string>& words :
       {kPlan, std::vector<std::string>{"outlook", "--days", "4"}, {"learn", "--species", "E01"}}) {
    const Json here = first.json(words), there = second.json(words);
    ASSERT_FALSE(here.is_null());
    EXPECT_EQ(here, there) << words.front();
  }
  // With what was learned the plan is another one, and again the same on both.
  const Json here = first.json(kPlan);
  EXPECT_EQ(here, second.json(kPlan));

  // One thread or two: the same answer, with the ground's derived rasters made anew by each.
  std::vector<Json> plans, maps;
  std::vector<std::string> map_hashes;
  for (const std::string threads : {"1", "2", "5"}) {
    first.set("STUMPWISE_THREADS", threads);
    fs::remove_all(first.path("valley/ennoway.files/ennoway/derived"));
    fs::create_directories(first.path("valley/ennoway.files/ennoway/derived"));
    plans.push_back(first.json(kPlan));
    maps.push_back(first.json({"prospect", "--species", "E01", "--date", "2026-05-11", "--out", "p.tif"}));
    map_hashes.push_back(base::sha256_file(first.path("p.tif")));
  }
  EXPECT_EQ(plans.at(0), here);
  EXPECT_EQ(plans.at(0), plans.at(1));
  EXPECT_EQ(plans.at(0), plans.at(2));
  EXPECT_EQ(maps.at(0), maps.at(1));
  EXPECT_EQ(map_hashes.at(0), map_hashes.at(1));
  EXPECT_EQ(map_hashes.at(0), map_hashes.at(2));
}

}  // namespace
}  // namespace stumpwise::e2e
