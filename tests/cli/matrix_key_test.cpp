// `stumpwise key --matrix`: the same engine on a character matrix from elsewhere.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "run.h"
#include "stumpwise/base/files.h"

namespace stumpwise::cli_test {
namespace {

using nlohmann::json;
using testing::HasSubstr;

/// Three invented taxa in the layout of the open matrix.
class TinyMatrix {
 public:
  TinyMatrix() {
    base::write_file_atomic(matrix(),
                            "family;name;class;cap-diameter;cap-shape;gill-color\r\n"
                            "A;Red one;p;[5, 10];[x];[w]\r\n"
                            "A;Brown one;e;[5, 10];[f];[w, n]\r\n"
                            "B;Small one;e;[1, 2];[x, f];[n]\r\n");
    base::write_file_atomic(groups(), "character,group\ncap-diameter,SZ\ncap-shape,HB\ngill-color,CO\n");
  }
  std::filesystem::path matrix() const { return folder_.path() / "matrix.csv"; }
  std::filesystem::path groups() const { return folder_.path() / "groups.csv"; }
  Ran ask(std::vector<std::string> more) const {
    more.insert(more.begin(),
                {"key", "--matrix", matrix().string(), "--groups", groups().string(), "--json"});
    return run(more);
  }

 private:
  base::TemporaryFolder folder_;
};

TEST(MatrixKey, RanksNamesAndKeepsDangersFirst) {
  NEEDS_THE_PROGRAM();
  const TinyMatrix tiny;
  const Ran ran = tiny.ask({"--seen", "cap-shape=f", "cap-diameter=8"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  const json key = json::parse(ran.out);
  EXPECT_EQ(key.at("standing"), "unresolved");
  EXPECT_EQ(key.at("names")[0].at("name"), "Brown one");
  EXPECT_EQ(key.at("undefeated")[0].at("name"), "Red one");  // two readings are not T
  EXPECT_EQ(key.at("next")[0].at("character"), "gill-color");
  EXPECT_FALSE(key.at("cautions").empty());
}

TEST(MatrixKey, RefusesWhatTheMatrixDoesNotHold) {
  NEEDS_THE_PROGRAM();
  const TinyMatrix tiny;
  for (const auto& [reading, what] : {std::pair{"cap-shape=q", "States: f, x"},
                                      {"cap-color=n", "Its characters: cap-diameter"},
                                      {"cap-diameter=wide", "no number"},
                                      {"cap-shape", "CHARACTER=STATE"}}) {
    const Ran ran = tiny.ask({"--seen", reading});
    EXPECT_EQ(ran.status, 2) << reading;
    EXPECT_THAT(ran.err, HasSubstr(what)) << reading;
  }
  EXPECT_EQ(run({"key", "--matrix", tiny.matrix().string()}).status, 2);
  EXPECT_EQ(run({"key", "--matrix", "nowhere.csv", "--groups", tiny.groups().string()}).status, 1);
}

TEST(MatrixKey, SaysEveryFaultOfTheFileWithItsLine) {
  NEEDS_THE_PROGRAM();
  const TinyMatrix tiny;
  base::write_file_atomic(
      tiny.matrix(), "family;name;class;cap-diameter;cap-shape\nA;One;q;[5, 10];[x]\nA;Two;e;[9, 3];[f]\n");
  const Ran ran = tiny.ask({});
  EXPECT_EQ(ran.status, 1);
  EXPECT_THAT(ran.err, HasSubstr("matrix.csv:2: class"));
  EXPECT_THAT(ran.err, HasSubstr("matrix.csv:3: cap-diameter"));
}

TEST(MatrixKey, ReadsTheOpenMatrixOfOneHundredAndSeventyThreeSpecies) {
  NEEDS_THE_PROGRAM();
  const char* shared = std::getenv("STUMPWISE_SHARED");
  std::filesystem::path folder =
      shared ? std::filesystem::path(shared) : std::filesystem::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
  if (std::filesystem::exists(folder / "data")) folder /= "data";
  folder /= "characters";
  if (!std::filesystem::exists(folder)) GTEST_SKIP() << "../shared/data/characters is not here";
  const Ran ran = run({"key", "--matrix", (folder / "primary_data_edited.csv").string(), "--groups",
                       (folder / "groups.csv").string(), "--seen", "cap-color=e|o", "cap-surface=g",
                       "stem-color=w", "ring-type=p", "cap-diameter=15", "--json"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(json::parse(ran.out).at("names")[0].at("name"), "Fly Agaric");
}

}  // namespace
}  // namespace stumpwise::cli_test
