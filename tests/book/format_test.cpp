// The file: GeoPackage by others' eyes, old and new formats, files that are no book, transactions, two
// programs at once.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>

#include "raw.h"
#include "sample.h"
#include "stumpwise/base/files.h"

namespace stumpwise::book {
namespace {

using testing::HasSubstr;

class BookFormat : public testing::Test {
 protected:
  base::TemporaryFolder folder_;
  std::filesystem::path path_ = folder_.path() / "book.gpkg";

  ErrorCode code_of(const std::function<void()>& action) {
    try {
      action();
    } catch (const Error& error) {
      said_ = error.full_text();
      return error.code();
    }
    return ErrorCode::internal;
  }
  std::string said_;
};

std::string run(const std::string& command, int& status) {
  std::string out;
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  char buffer[4096];
  while (std::size_t n = fread(buffer, 1, sizeof buffer, pipe)) out.append(buffer, n);
  status = pclose(pipe);
  return out;
}

TEST_F(BookFormat, GdalsOwnValidationPasses) {
  int status = 0;
  run("/usr/bin/python3 -c 'import osgeo_utils.samples.validate_gpkg'", status);
  if (status != 0) GTEST_SKIP() << "osgeo_utils.samples.validate_gpkg is not installed";
  {
    Book book = Book::create(path_);
    fill_sample(book);
  }
  const std::string out =
      run("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '" + path_.string() + "'", status);
  EXPECT_EQ(status, 0) << out;
  // The check is no formality: the same file without one of its triggers fails it.
  raw_exec(path_, "DROP TRIGGER rtree_find_geom_update3");
  run("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '" + path_.string() + "'", status);
  EXPECT_NE(status, 0);
}

TEST_F(BookFormat, GdalReadsTheLayers) {
  int status = 0;
  run("ogrinfo --version", status);
  if (status != 0) GTEST_SKIP() << "ogrinfo is not installed";
  {
    Book book = Book::create(path_);
    fill_sample(book);
  }
  const std::string finds = run("ogrinfo -q -al '" + path_.string() + "' find", status);
  EXPECT_EQ(status, 0);
  EXPECT_THAT(finds, HasSubstr("POINT (-30.02 42.01)"));
  EXPECT_THAT(finds, HasSubstr("name_as_recorded (String) = Polyporus squamosus"));
  // A spatial filter goes through the R-tree.
  EXPECT_THAT(run("ogrinfo -q -al -spat -30.015 42.015 -30.005 42.025 '" + path_.string() + "' find", status),
              HasSubstr("species (String) = E05"));
  EXPECT_THAT(run("ogrinfo -q -al '" + path_.string() + "' outing_track", status),
              HasSubstr("MULTILINESTRING ((-30 42,"));
  EXPECT_THAT(run("ogrinfo -q -al '" + path_.string() + "' access_area", status),
              HasSubstr("POLYGON ((-30 42,-29.99 42"));
  EXPECT_THAT(run("ogrinfo -q '" + path_.string() + "'", status), HasSubstr("weather_day (None)"));
  EXPECT_THAT(run("ogrinfo -q -al '" + path_.string() + "' piece", status),
              HasSubstr("POINT (-30.021 42.011)"));
  EXPECT_THAT(run("ogrinfo -q -al '" + path_.string() + "' piece_reading", status),
              HasSubstr("states (String) = clay-brown|rust-brown"));
}

TEST_F(BookFormat, HeadOfTheFile) {
  { Book::create(path_); }
  EXPECT_EQ(bytes_of(path_).substr(68, 4), "GPKG");
  EXPECT_EQ(raw_value(path_, "PRAGMA user_version"), "10300");
  EXPECT_EQ(raw_value(path_, "SELECT count(*) FROM gpkg_spatial_ref_sys WHERE srs_id IN (-1, 0, 4326)"), "3");
  EXPECT_EQ(raw_value(path_, "PRAGMA integrity_check"), "ok");
}

TEST_F(BookFormat, IndexFollowsEveryChange) {
  Book book = Book::create(path_);
  fill_sample(book);
  const std::string indexed = "SELECT count(*) FROM rtree_find_geom";
  EXPECT_EQ(raw_value(path_, indexed), "2");  // of three finds one is unplaced
  EXPECT_EQ(raw_value(path_, "SELECT count(*) FROM rtree_outing_track_geom"), "1");
  EXPECT_EQ(raw_value(path_, "SELECT count(*) FROM rtree_piece_geom"), "1");  // of two pieces one is unplaced
  book.replace_track(1, {});
  EXPECT_EQ(raw_value(path_, "SELECT count(*) FROM rtree_outing_track_geom"), "0");
}

TEST_F(BookFormat, OldFileIsBroughtToTheNewFormatWithEveryRecord) {
  write_first_format(path_);
  EXPECT_EQ(raw_value(path_, "SELECT max(version) FROM stumpwise_schema"), "1");
  EXPECT_EQ(code_of([&] { Book::open(path_, true); }), ErrorCode::stale_version);  // reading may not migrate
  {
    Book book = Book::open(path_);
    EXPECT_EQ(book.schema_version(), kNewestFormat);
    ASSERT_EQ(book.outings("ennoway").size(), 2u);
    EXPECT_EQ(book.outings("ennoway")[0].track, sample_track());
    EXPECT_EQ(book.finds("ennoway").size(), 3u);
    EXPECT_EQ(book.weather("EV-1").days.size(), 30u);
    EXPECT_EQ(book.hosts("ennoway").size(), 2u);
    EXPECT_EQ(book.access("ennoway"), sample_access());
    EXPECT_TRUE(book.model("ennoway", "E01"));
    book.add_outing(sample_outing());
  }
  EXPECT_EQ(raw_value(path_, "SELECT count(*) FROM rtree_find_geom"), "3");
  int status = 0;
  run("/usr/bin/python3 -c 'import osgeo_utils.samples.validate_gpkg'", status);
  if (status == 0) {
    const std::string out =
        run("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '" + path_.string() + "'", status);
    EXPECT_EQ(status, 0) << out;
  }
}

TEST_F(BookFormat, NewAndMigratedFilesHaveTheSameTables) {
  const auto first = folder_.path() / "first.gpkg", second = folder_.path() / "second.gpkg";
  write_first_format(first);
  write_second_format(second);
  { Book::open(first); }
  { Book::open(second); }
  { Book::create(path_); }
  const std::string shape =
      "SELECT group_concat(type || name || tbl_name || coalesce(sql, ''), ';') FROM (SELECT * FROM "
      "sqlite_master ORDER BY type, name)";
  EXPECT_EQ(raw_value(path_, shape), raw_value(first, shape));
  EXPECT_EQ(raw_value(path_, shape), raw_value(second, shape));
  const std::string listed =
      "SELECT group_concat(table_name || data_type || identifier || description || coalesce(srs_id, ''), "
      "';') "
      "FROM (SELECT * FROM gpkg_contents ORDER BY table_name)";
  EXPECT_EQ(raw_value(path_, listed), raw_value(first, listed));
}

TEST_F(BookFormat, InterruptedMigrationLeavesTheOldFile) {
  write_first_format(path_);
  raw_exec(path_, "CREATE TABLE rtree_find_geom (in_the_way)");  // makes the second step fail half way
  EXPECT_NE(code_of([&] { Book::open(path_); }), ErrorCode::internal);
  EXPECT_EQ(raw_value(path_, "SELECT max(version) FROM stumpwise_schema"), "1");
  EXPECT_EQ(raw_value(path_, "SELECT count(*) FROM sqlite_master WHERE name = 'gpkg_extensions'"), "0");
  raw_exec(path_, "DROP TABLE rtree_find_geom");
  EXPECT_EQ(Book::open(path_).schema_version(), kNewestFormat);
}

TEST_F(BookFormat, SecondFormatIsBroughtToTheThirdWithEveryRecord) {
  write_second_format(path_);
  EXPECT_EQ(raw_value(path_, "SELECT max(version) FROM stumpwise_schema"), "2");
  EXPECT_EQ(code_of([&] { Book::open(path_, true); }), ErrorCode::stale_version);
  {
    Book book = Book::open(path_);
    EXPECT_EQ(book.schema_version(), kNewestFormat);
    EXPECT_EQ(book.outings("ennoway").size(), 2u);
    EXPECT_EQ(book.outings("ennoway")[0].track, sample_track());
    EXPECT_EQ(book.finds("ennoway").size(), 3u);
    EXPECT_TRUE(book.pieces().empty());
    auto piece = sample_piece();
    piece.find = 3;
    book.add_piece(piece);
    EXPECT_EQ(book.pieces({.find = 3}).size(), 1u);
    EXPECT_TRUE(book.faults().empty());
  }
  EXPECT_EQ(raw_value(path_, "SELECT what FROM stumpwise_schema WHERE version = 3"), "pieces");
}

TEST_F(BookFormat, InterruptedThirdStepLeavesTheSecondFormat) {
  write_second_format(path_);
  raw_exec(path_, "CREATE TABLE piece_wait (in_the_way)");
  EXPECT_NE(code_of([&] { Book::open(path_); }), ErrorCode::internal);
  EXPECT_EQ(raw_value(path_, "SELECT max(version) FROM stumpwise_schema"), "2");
  EXPECT_EQ(raw_value(path_, "SELECT count(*) FROM sqlite_master WHERE name = 'piece'"), "0");
  raw_exec(path_, "DROP TABLE piece_wait");
  EXPECT_EQ(Book::open(path_).schema_version(), kNewestFormat);
}

TEST_F(BookFormat, NewerFileIsRefusedUntouched) {
  { fill_sample(*std::make_unique<Book>(Book::create(path_))); }
  raw_exec(path_, "INSERT INTO stumpwise_schema VALUES (99, 'from the future', '2030-01-01T00:00:00Z')");
  const std::string before = bytes_of(path_);
  EXPECT_EQ(code_of([&] { Book::open(path_); }), ErrorCode::stale_version);
  EXPECT_THAT(said_, HasSubstr("99"));
  EXPECT_EQ(code_of([&] { Book::open(path_, true); }), ErrorCode::stale_version);
  EXPECT_EQ(bytes_of(path_), before);
}

TEST_F(BookFormat, FilesThatAreNoBookAreToldAndLeft) {
  EXPECT_EQ(code_of([&] { Book::open(path_); }), ErrorCode::not_found);
  EXPECT_FALSE(std::filesystem::exists(path_));
  auto refuse = [&](const std::string& content) {
    base::write_file_atomic(path_, content);
    EXPECT_EQ(code_of([&] { Book::open(path_); }), ErrorCode::bad_format) << said_;
    EXPECT_EQ(code_of([&] { Book::open(path_, true); }), ErrorCode::bad_format) << said_;
    EXPECT_EQ(bytes_of(path_), content);
  };
  refuse("");
  refuse("date,tmin\n");
  refuse(std::string("SQLite format 3\0", 16) + std::string(5000, 'z'));
  EXPECT_EQ(code_of([&] { Book::open(folder_.path()); }), ErrorCode::bad_format);
  std::filesystem::remove(path_);
  raw_exec(path_, "CREATE TABLE somebody_elses (a); PRAGMA application_id = 1196444487;");
  const std::string before = bytes_of(path_);
  EXPECT_EQ(code_of([&] { Book::open(path_); }), ErrorCode::bad_format);
  EXPECT_EQ(bytes_of(path_), before);
}

TEST_F(BookFormat, TruncatedBookIsTold) {
  { fill_sample(*std::make_unique<Book>(Book::create(path_))); }
  const std::string whole = bytes_of(path_);
  for (const std::size_t size : {std::size_t{20}, std::size_t{4096}, whole.size() / 2}) {
    base::write_file_atomic(path_, std::string_view(whole).substr(0, size));
    const ErrorCode code = code_of([&] {
      Book book = Book::open(path_);
      book.outings("ennoway");
      book.weather("EV-1");
      book.add_outing(sample_outing());
    });
    EXPECT_EQ(code, ErrorCode::bad_format) << size << ": " << said_;
  }
}

TEST_F(BookFormat, TransactionIsAllOrNothing) {
  Book book = Book::create(path_);
  book.put_ground(sample_ground());
  struct Stop {};
  EXPECT_THROW(book.transaction([&] {
    book.add_outing(sample_outing());
    book.set("half", "done");
    EXPECT_EQ(book.get("half"), "done");
    throw Stop{};
  }),
               Stop);
  EXPECT_EQ(book.get("half"), std::nullopt);
  EXPECT_TRUE(book.outings("ennoway").empty());
  book.transaction([&] {
    book.add_outing(sample_outing());
    book.transaction([&] { book.set("nested", "yes"); });
  });
  EXPECT_EQ(book.get("nested"), "yes");
  EXPECT_EQ(book.outings("ennoway").size(), 1u);
}

TEST_F(BookFormat, FailedPartUndoesTheWholeEvenWhenSwallowed) {
  Book book = Book::create(path_);
  book.put_ground(sample_ground());
  auto off = sample_outing();
  off.finds.back().pieces = 0;
  EXPECT_EQ(code_of([&] {
              book.transaction([&] {
                book.set("before", "x");
                try {
                  book.add_outing(off);
                } catch (const Error&) {
                }
              });
            }),
            ErrorCode::store_failed);
  EXPECT_EQ(book.get("before"), std::nullopt);
  EXPECT_TRUE(book.outings("ennoway").empty());
  book.set("after", "x");
  EXPECT_EQ(book.get("after"), "x");
}

TEST_F(BookFormat, GroundMayComeLaterInTheSameAction) {
  Book book = Book::create(path_);
  book.transaction([&] {
    book.replace_hosts("ennoway", sample_hosts());
    book.put_ground(sample_ground());
  });
  EXPECT_EQ(book.hosts("ennoway").size(), 2u);
}

TEST_F(BookFormat, TwoConnectionsSeeEachOthersWork) {
  Book first = Book::create(path_);
  first.put_ground(sample_ground());
  {
    Book second = Book::open(path_);
    const Book reader = Book::open(path_, true);
    second.add_outing(sample_outing());
    EXPECT_EQ(first.outings("ennoway").size(), 1u);
    EXPECT_EQ(reader.outings("ennoway").size(), 1u);
    // What is not committed is nobody else's.
    first.transaction([&] {
      first.add_outing(sample_outing());
      EXPECT_EQ(second.outings("ennoway").size(), 1u);
    });
    EXPECT_EQ(second.outings("ennoway").size(), 2u);
  }
  first.add_outing(sample_outing());  // the other's closing did not take the file from this one
  EXPECT_EQ(first.outings("ennoway").size(), 3u);
}

TEST_F(BookFormat, WaitsForTheOtherThenSaysSo) {
  Book first = Book::create(path_);
  Book second = Book::open(path_);
  first.transaction([&] {
    first.set("a", "1");
    EXPECT_EQ(code_of([&] { second.set("a", "2"); }), ErrorCode::store_failed);
    EXPECT_THAT(said_, HasSubstr("another program"));
  });
  second.set("a", "2");
  EXPECT_EQ(first.get("a"), "2");
}

TEST_F(BookFormat, OpensInAFolderThatMayOnlyBeRead) {
  { fill_sample(*std::make_unique<Book>(Book::create(path_))); }
  chmod(path_.c_str(), 0444);
  chmod(folder_.path().c_str(), 0555);
  EXPECT_EQ(Book::open(path_, true).outings("ennoway").size(), 2u);
  if (geteuid() != 0) {  // root may write anywhere
    EXPECT_NE(code_of([&] { Book::open(path_); }), ErrorCode::internal);
  }
  chmod(folder_.path().c_str(), 0755);
}

TEST_F(BookFormat, RecordedNamesAndMadeForecastsCannotBeChangedEvenByHand) {
  { fill_sample(*std::make_unique<Book>(Book::create(path_))); }
  EXPECT_THAT(raw_refusal(path_, "UPDATE forecast_made SET index_value = 1"), HasSubstr("never changed"));
  EXPECT_THAT(raw_refusal(path_, "DELETE FROM forecast_made"), HasSubstr("never deleted"));
  EXPECT_THAT(raw_refusal(path_, "UPDATE find SET name_as_recorded = 'something better'"),
              HasSubstr("never changes"));
}

}  // namespace
}  // namespace stumpwise::book
