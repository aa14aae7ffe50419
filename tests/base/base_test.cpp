#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <atomic>
#include <fstream>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/csv.h"
#include "stumpwise/base/date.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/base/random.h"
#include "stumpwise/base/text.h"
#include "stumpwise/base/units.h"

namespace stumpwise::base {
namespace {

TEST(Dates, OnlyDaysThatExist) {
  EXPECT_EQ(to_text(*parse_date("2024-02-29")), "2024-02-29");
  for (const char* wrong : {"2026-02-29", "2026-02-31", "2026-13-01", "2026-00-10", "26-01-01", "2026/01/01",
                            "", "2026-1-01", "2026-01-011"})
    EXPECT_FALSE(parse_date(wrong)) << wrong;
  EXPECT_EQ(day_of_year(make_date(2024, 12, 31)), 366);
  EXPECT_THROW(require_date("31 Feb", "--date"), Error);
}

TEST(Dates, InstantsWithOffset) {
  EXPECT_EQ(to_text_utc(*parse_instant("2026-05-12T08:30:00-01:00")), "2026-05-12T09:30:00Z");
  EXPECT_EQ(to_text_utc(*parse_instant("2026-05-12T08:30:15.250Z")), "2026-05-12T08:30:15Z");
  EXPECT_EQ(to_text_offset(*parse_instant("2026-01-01T00:30:00Z"), -120), "2025-12-31T22:30:00-02:00");
  for (const char* wrong : {"2026-05-12", "2026-05-12T08:30", "2026-05-12T24:30:00Z", "2026-05-12T08:30:00",
                            "2026-05-12T08:30:0Z"})
    EXPECT_FALSE(parse_instant(wrong)) << wrong;
}

RC_GTEST_PROP(Dates, TextAndBack, ()) {
  const Date date{std::chrono::days{*rc::gen::inRange(-200000, 200000)}};
  RC_ASSERT(parse_date(to_text(date)) == date);
}

TEST(Text, Numbers) {
  EXPECT_DOUBLE_EQ(*parse_number(" +1.5e1 "), 15);
  for (const char* wrong : {"", "1,5", "12 mm", "nan", "inf", "0x10", "1.5.2", "-", "1e999"})
    EXPECT_FALSE(parse_number(wrong)) << wrong;
}

TEST(Text, NearNames) {
  EXPECT_EQ(edit_distance("kitten", "sitting"), 3);
  EXPECT_EQ(edit_distance("galerina", "gaelrina"), 1);
  EXPECT_THAT(nearest("galernia marginata", {"Galerina marginata", "Grifola frondosa"}, 3),
              testing::ElementsAre("Galerina marginata"));
  EXPECT_TRUE(nearest("zzzz", {"Galerina marginata"}, 3).empty());
}

RC_GTEST_PROP(Text, EditDistanceIsSymmetricAndBounded, (const std::string& a, const std::string& b)) {
  RC_PRE(a.size() < 40 && b.size() < 40);
  const int d = edit_distance(a, b);
  RC_ASSERT(d == edit_distance(b, a));
  RC_ASSERT(d <= static_cast<int>(std::max(a.size(), b.size())));
  RC_ASSERT((d == 0) == (a == b));
}

TEST(Text, PrintableDropsControlsAndOverrides) {
  EXPECT_EQ(printable("a\x1b[31mb\xE2\x80\xAE"
                      "c\n"),
            "a[31mbc");
  EXPECT_EQ(escape_markup("<a href=\"x\">'&"), "&lt;a href=&quot;x&quot;&gt;&#39;&amp;");
}

TEST(Csv, QuotesBreaksAndSeparators) {
  const auto table = parse_csv(
      "\xEF\xBB\xBF"
      "date;note\r\n2026-01-01;\"a;b\r\nsecond \"\"line\"\"\"\r\n\r\n2026-01-02;x\r\n",
      "t.csv");
  ASSERT_TRUE(table.ok()) << to_text(table.issues);
  ASSERT_EQ(table.value.rows.size(), 2u);
  EXPECT_EQ(table.value.rows[0].cells[1], "a;b\r\nsecond \"line\"");
  EXPECT_EQ(table.value.rows[1].line, 5);
  EXPECT_EQ(table.value.column(" DATE"), 0u);
}

TEST(Csv, FaultsWithLines) {
  const auto table = parse_csv("a,b\n1\n2,3\n4,5,6\n", "t.csv");
  ASSERT_EQ(table.issues.size(), 2u);
  EXPECT_EQ(table.issues[0].line, 2);
  EXPECT_EQ(table.issues[1].line, 4);
  EXPECT_EQ(table.value.rows.size(), 1u);
  EXPECT_FALSE(parse_csv("", "t.csv").ok());
  EXPECT_FALSE(parse_csv("a,b\n\"open,1\n2,3\n", "t.csv").ok());
}

RC_GTEST_PROP(Csv, CellsSurviveWritingAndReading, (const std::vector<std::string>& words)) {
  RC_PRE(!words.empty());
  std::string header, row;
  std::vector<std::string> kept;
  for (std::size_t i = 0; i < words.size(); ++i) {
    std::string word = words[i];
    std::erase(word, '\0');
    std::erase(word, '\r');
    if (!word.empty() && std::string("=+-@\t'").find(word[0]) != std::string::npos) word.insert(0, "x");
    kept.push_back(word);
    header += (i ? ",h" : "h") + std::to_string(i);
    row += (i ? "," : "") + csv_cell(word);
  }
  RC_PRE(!trim(kept[0]).empty());
  const auto table = parse_csv(header + "\n" + row + "\n", "t.csv", ',');
  RC_ASSERT(table.ok());
  RC_ASSERT(table.value.rows.size() == 1u);
  RC_ASSERT(table.value.rows[0].cells == kept);
}

TEST(Csv, SpreadsheetFormulasAreDefused) {
  EXPECT_EQ(csv_cell("=1+2"), "'=1+2");
  EXPECT_EQ(csv_cell("-3.5"), "-3.5");
}

TEST(Files, AtomicReplaceKeepsTheOldOnFailure) {
  const TemporaryFolder folder;
  const auto path = folder.path() / "a.txt";
  write_file_atomic(path, "old");
  EXPECT_THROW(replace_atomic(path,
                              [](const std::filesystem::path& p) {
                                std::ofstream(p) << "half";
                                throw Error(ErrorCode::cancelled, "stop");
                              }),
               Error);
  EXPECT_EQ(read_file(path), "old");
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.path()), {}), 1);
  EXPECT_THROW(read_file(folder.path() / "none"), Error);
  EXPECT_THROW(read_file(folder.path()), Error);
}

TEST(Files, Sha256KnownDigest) {  // FIPS 180-4 example "abc"
  EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  const TemporaryFolder folder;
  write_file_atomic(folder.path() / "x", std::string(3'000'000, 'a'));
  EXPECT_EQ(sha256_file(folder.path() / "x"), sha256(std::string(3'000'000, 'a')));
}

TEST(Random, SameSeedSameWorldAndRightMoments) {
  Random a(7), b(7);
  double sum = 0, squares = 0, gamma = 0, poisson = 0;
  constexpr int n = 20000;
  for (int i = 0; i < n; ++i) {
    EXPECT_EQ(a.bits(), b.bits());
    const double x = a.normal();
    b.normal();
    sum += x;
    squares += x * x;
  }
  for (int i = 0; i < n; ++i) {
    gamma += a.gamma(0.7, 2.0);
    poisson += a.poisson(3.2);
  }
  EXPECT_NEAR(sum / n, 0, 0.03);
  EXPECT_NEAR(squares / n, 1, 0.05);
  EXPECT_NEAR(gamma / n, 1.4, 0.06);
  EXPECT_NEAR(poisson / n, 3.2, 0.06);
}

TEST(Parallel, CoversEveryIndexOnceAndPassesErrorsOn) {
  std::vector<std::atomic<int>> seen(1000);
  parallel_ranges(seen.size(), 2, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) ++seen[i];
  });
  for (const auto& count : seen) EXPECT_EQ(count, 1);
  EXPECT_THROW(
      parallel_ranges(100, 2, [](std::size_t, std::size_t) { throw Error(ErrorCode::bad_value, "no"); }),
      Error);
}

TEST(Interrupt, FlagBecomesAnError) {
  set_interrupted(true);
  EXPECT_THROW(check_interrupt(), Error);
  set_interrupted(false);
  EXPECT_NO_THROW(check_interrupt());
}

TEST(Errors, EveryCodeHasANameAndAnExitStatus) {
  for (int code = 0; code <= static_cast<int>(ErrorCode::internal); ++code) {
    const auto each = static_cast<ErrorCode>(code);
    EXPECT_FALSE(code_name(each).empty());
    EXPECT_THAT(exit_status(each), testing::AnyOf(1, 2));
  }
  EXPECT_EQ(exit_status(ErrorCode::bad_usage), 2);
  EXPECT_NEAR(degc_from_degf(212), 100, 1e-12);
  EXPECT_NEAR(Angle::degrees(180).rad(), 3.14159265358979, 1e-12);
}

}  // namespace
}  // namespace stumpwise::base
