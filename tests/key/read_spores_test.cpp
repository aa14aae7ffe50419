// Measured spores from a file: units, decimal commas, calibration, and every fault at once.
#include "stumpwise/key/read_spores.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "stumpwise/base/error.h"

namespace stumpwise::key {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

std::vector<std::string> texts(const std::vector<Issue>& issues) {
  std::vector<std::string> result;
  for (const Issue& issue : issues) result.push_back(base::to_text(issue));
  return result;
}

TEST(ReadSpores, TheSameTwoSporesInManyDresses) {
  for (const std::string text :
       {"length,width\n9.0,5.5\n10.5,6\n", "Length_um,Width_um,remark\n9.0,5.5,a\n10.5,6.0,\n",
        "L;W\r\n9,0;5,5\r\n10,5;6,0\r\n", "\xEF\xBB\xBFlength (µm)\twidth (μm)\n9,0\t5,5\n10.5\t6\n",
        "length,width\n\"9,0\",\"5,5\"\n10.5,6\n", "size\n9.0 x 5.5\n10.5×6 µm\n",
        "spores;who\n9,0 x 5,5;a\n10,5 * 6;b\n", "measured on Friday\n9,0 x 5,5\n10,5 X 6\n",
        "9.0 x 5.5\n10.5 x 6\n", "9,0 x 5,5 um\n10,5 x 6 um\n", "9.0,5.5\n10.5,6\n",
        "width,length\n5.5,9.0\n\n6,10.5"}) {
    SCOPED_TRACE(text);
    const auto parsed = spores_from_text(text, "s.csv");
    ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
    ASSERT_EQ(parsed.value.size(), 2u);
    EXPECT_EQ(parsed.value[0].length_um, 9.0);
    EXPECT_EQ(parsed.value[0].width_um, 5.5);
    EXPECT_EQ(parsed.value[1].length_um, 10.5);
    EXPECT_EQ(parsed.value[1].width_um, 6.0);
  }
}

TEST(ReadSpores, ThirtySporesWithDecimalCommas) {
  std::string text = "length;width;specimen;collection\n";
  for (int i = 0; i < 30; ++i) text += fmt::format("3,{};1,{};{};7\n", i % 10, i % 4, i / 15);
  const auto parsed = spores_from_text(text, "sidera.csv");
  ASSERT_TRUE(parsed.ok()) << base::to_text(parsed.issues);
  ASSERT_THAT(parsed.issues, IsEmpty());
  const SporeStatistics s = spore_statistics(parsed.value);
  EXPECT_EQ(s.spores, 30);
  EXPECT_EQ(s.bodies.size(), 2u);
  EXPECT_EQ(s.collections, 1);
  EXPECT_NEAR(s.length_um.mean, 3.45, 1e-12);
  EXPECT_EQ(s.width_um.max, 1.3);
}

TEST(ReadSpores, AllFaultsAtOnceWithFileAndLine) {
  const auto parsed = spores_from_text(
      "length,width,specimen\n9.0,5.5,a\n-1,5.5,a\n9.0,0,a\n900,5,a\nnine,five,a\n9,0,5,5\n9.1,5.2,\n9.1,nan,"
      "a\n",
      "s.csv");
  EXPECT_FALSE(parsed.ok());
  EXPECT_THAT(
      texts(parsed.issues),
      ElementsAre(AllOf(HasSubstr("s.csv:7: 4 cells where the header has 3"), HasSubstr("decimal commas")),
                  "s.csv:3: length: -1 um is impossible: a size is above 0",
                  "s.csv:4: width: 0 um is impossible: a size is above 0",
                  AllOf(HasSubstr("s.csv:5: length: 900 um is impossible: at most 200 um"),
                        HasSubstr("--um-per-div")),
                  "s.csv:6: length: \"nine\" is no number", "s.csv:6: width: \"five\" is no number",
                  HasSubstr("s.csv:8: specimen: is empty"), "s.csv:9: width: \"nan\" is no number"));
}

TEST(ReadSpores, HeadersThatCannotBeMeant) {
  const auto first = [](const std::string& text, std::optional<double> um_per_div = std::nullopt) {
    const auto parsed = spores_from_text(text, "s.csv", um_per_div);
    EXPECT_FALSE(parsed.ok()) << text;
    return parsed.issues.empty() ? "" : base::to_text(parsed.issues.front());
  };
  EXPECT_THAT(first(""), HasSubstr("the file is empty"));
  EXPECT_THAT(first("length,breadth\n9,5\n"),
              HasSubstr("s.csv:1: width: there is no such column; there are: length, "));
  EXPECT_THAT(first("a,b\n9,5\n"), HasSubstr("Needed are length and width"));
  EXPECT_THAT(first("length,width,L\n9,5,9\n"), HasSubstr("s.csv:1: L: means the same as another column"));
  EXPECT_THAT(first("size,length,width\n9x5,9,5\n"), HasSubstr("which of them counts"));
  EXPECT_THAT(first("length_um,width_um\n9,5\n", 1.0), HasSubstr("a calibration is given"));
  EXPECT_THAT(first("length_div,width_div\n9,5\n"), HasSubstr("give --um-per-div X or --calibrate"));
  EXPECT_THAT(first("size\n9.0 by 5.5\n"), HasSubstr("s.csv:2: size: \"9.0 by 5.5\" is no text like"));
  EXPECT_THAT(first("length;width\n9.0,5;5\n"), HasSubstr("\"9.0,5\" is no number"));
}

TEST(ReadSpores, AWidthAboveItsLengthIsSwappedAndSaid) {
  const auto parsed = spores_from_text("length,width\n5.5,9.0\n9,5\n", "s.csv");
  ASSERT_TRUE(parsed.ok());
  EXPECT_EQ(parsed.value[0].length_um, 9.0);
  EXPECT_EQ(parsed.value[0].width_um, 5.5);
  EXPECT_THAT(
      texts(parsed.issues),
      ElementsAre(AllOf(HasSubstr("s.csv:2: width: 9 um is above the length 5.5"), HasSubstr("swapped"))));
  EXPECT_EQ(parsed.issues[0].severity, Severity::warning);
}

TEST(ReadSpores, ASlipOfThePenIsSaidAndCounts) {
  std::string text = "length,width\n";
  for (int i = 0; i < 12; ++i) text += i == 5 ? "90,5.5\n" : "9.0,5.5\n";
  const auto parsed = spores_from_text(text, "s.csv");
  ASSERT_TRUE(parsed.ok());
  EXPECT_EQ(parsed.value.size(), 12u);
  EXPECT_THAT(texts(parsed.issues),
              ElementsAre(AllOf(HasSubstr("s.csv:7: length: 90 um"), HasSubstr("slip"))));
}

TEST(Calibration, ScalesDivisionsAndHoldsTheLimitInMicrometres) {
  EXPECT_DOUBLE_EQ(um_per_division(50, 49), 0.98);
  const auto parsed = spores_from_text("length,width\n10,5\n300,4\n", "s.csv", um_per_division(50, 49));
  ASSERT_EQ(parsed.value.size(), 1u);
  EXPECT_DOUBLE_EQ(parsed.value[0].length_um, 9.8);
  EXPECT_DOUBLE_EQ(parsed.value[0].width_um, 4.9);
  EXPECT_THAT(texts(parsed.issues),
              ElementsAre(HasSubstr("s.csv:3: length: 300 divisions = 294 um is impossible")));
  EXPECT_TRUE(spores_from_text("length_div,width_div\n10,5\n", "s.csv", 1.0).ok());
  EXPECT_TRUE(spores_from_text("length,width\n300,4\n", "s.csv", 0.5).ok());
}

TEST(Calibration, ImpossibleOnesAreRefused) {
  for (const auto& [divisions, length_um] :
       {std::pair{0.0, 10.0}, {10.0, 0.0}, {-5.0, -5.0}, {1.0, 1000.0}, {1000.0, 1.0}, {std::nan(""), 1.0}})
    EXPECT_THROW(um_per_division(divisions, length_um), Error) << divisions << " = " << length_um;
  for (const double bad : {0.0, -1.0, 0.001, 101.0, std::nan("")})
    EXPECT_THROW(spores_from_text("length,width\n9,5\n", "s.csv", bad), Error) << bad;
}

RC_GTEST_PROP(CalibrationProperty, ScalesEveryStatistic, ()) {
  std::string text = "length,width\n";
  const int n = *rc::gen::inRange(10, 40);
  for (int i = 0; i < n; ++i) {
    const auto [a, b] = *rc::gen::pair(rc::gen::inRange(50, 400), rc::gen::inRange(20, 50));
    text += fmt::format("{:.1f},{:.1f}\n", a / 10.0, b / 10.0);
  }
  const double scale = *rc::gen::inRange(1, 480) / 100.0;
  const SporeStatistics plain = spore_statistics(spores_from_text(text, "s.csv").value),
                        scaled = spore_statistics(spores_from_text(text, "s.csv", scale).value);
  const auto near = [](double a, double b) { return std::abs(a - b) <= 1e-9 * (1 + std::abs(b)); };
  RC_ASSERT(near(scaled.length_um.min, scale * plain.length_um.min));
  RC_ASSERT(near(scaled.length_um.p5, scale * plain.length_um.p5));
  RC_ASSERT(near(scaled.length_um.mean, scale * plain.length_um.mean));
  RC_ASSERT(near(scaled.width_um.sd, scale * plain.width_um.sd));
  RC_ASSERT(near(scaled.width_um.p95, scale * plain.width_um.p95));
  RC_ASSERT(near(scaled.q.mean, plain.q.mean));
}

}  // namespace
}  // namespace stumpwise::key
