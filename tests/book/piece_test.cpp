// Pieces: what goes in comes out, nothing that was read is erased, nothing half is kept.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "raw.h"
#include "sample.h"
#include "stumpwise/base/files.h"

namespace stumpwise::book {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

class Pieces : public testing::Test {
 protected:
  base::TemporaryFolder folder_;
  std::filesystem::path path_ = folder_.path() / "book.gpkg";
  Book book_ = Book::create(path_);

  void refused(ErrorCode code, const std::function<void()>& action) {
    try {
      action();
      ADD_FAILURE() << "not refused";
    } catch (const Error& error) {
      EXPECT_EQ(error.code(), code) << error.what();
      said_ = error.full_text();
    }
  }
  std::string count(const std::string& what) { return raw_value(path_, "SELECT count(*) FROM " + what); }
  std::string said_;
};

/// As the book gives the only piece back.
records::Piece with_ids(records::Piece piece) {
  piece.id = 1;
  std::int64_t id = 0;
  for (auto& reading : piece.readings) reading.id = ++id;
  id = 0;
  for (auto& confirmation : piece.confirmations) confirmation.id = ++id;
  id = 0;
  for (auto& wait : piece.waits) wait.id = ++id;
  return piece;
}

std::vector<std::int64_t> ids(const std::vector<records::Piece>& pieces) {
  std::vector<std::int64_t> list;
  for (const auto& piece : pieces) list.push_back(piece.id);
  return list;
}

TEST_F(Pieces, EveryFieldComesBack) {
  auto piece = sample_piece();
  piece.find = book_.add_find(sample_find());
  piece.id = 77;  // ids in the record are ignored
  EXPECT_EQ(book_.add_piece(piece), 1);
  EXPECT_EQ(book_.piece(1), with_ids(piece));
  EXPECT_EQ(book_.pieces(), std::vector{with_ids(piece)});
  EXPECT_EQ(book_.piece(2), std::nullopt);
  book_ = Book::create(folder_.path() / "other.gpkg");  // closes the first
  EXPECT_EQ(Book::open(path_, true).piece(1), with_ids(piece));
}

TEST_F(Pieces, BarePieceComesBack) {
  records::Piece bare;
  bare.date = make_date(2026, 10, 17);
  book_.add_piece(bare);
  bare.id = 1;
  EXPECT_EQ(book_.piece(1), bare);
}

TEST_F(Pieces, EachFlagIsKeptByItself) {
  for (auto flag : {&records::Observation::dug, &records::Observation::cut, &records::Observation::micro}) {
    records::Observation reading = sample_piece().readings[1];
    reading.dug = reading.cut = reading.micro = false;
    reading.*flag = true;
    records::Piece piece;
    piece.readings = {reading};
    const auto back = book_.piece(book_.add_piece(piece));
    reading.id = back->readings[0].id;
    EXPECT_EQ(back->readings[0], reading);
  }
}

TEST_F(Pieces, AreFoundByFindAndByDay) {
  const auto first = book_.add_find(sample_find()), second = book_.add_find(sample_find());
  std::vector<records::Piece> basket(5);
  const int days[] = {18, 16, 17, 18, 20};
  const std::int64_t finds[] = {first, first, second, 0, 0};
  for (int i = 0; i < 5; ++i) basket[i].date = make_date(2026, 10, days[i]), basket[i].find = finds[i];
  EXPECT_THAT(book_.add_pieces(basket), ElementsAre(1, 2, 3, 4, 5));
  EXPECT_THAT(ids(book_.pieces()), ElementsAre(2, 3, 1, 4, 5));
  EXPECT_THAT(ids(book_.pieces({.find = first})), ElementsAre(2, 1));
  EXPECT_THAT(ids(book_.pieces({.find = 0})), ElementsAre(4, 5));
  EXPECT_THAT(ids(book_.pieces({.find = 99})), IsEmpty());
  EXPECT_THAT(ids(book_.pieces({.from = make_date(2026, 10, 17), .to = make_date(2026, 10, 18)})),
              ElementsAre(3, 1, 4));
  EXPECT_THAT(ids(book_.pieces({.from = make_date(2026, 10, 19)})), ElementsAre(5));
  EXPECT_THAT(ids(book_.pieces({.find = first, .to = make_date(2026, 10, 16)})), ElementsAre(2));
}

TEST_F(Pieces, BasketIsAddedWholeOrNotAtAll) {
  std::vector<records::Piece> basket(23, sample_piece());
  basket[22].readings[0].at = "yesterday";
  refused(ErrorCode::bad_value, [&] { book_.add_pieces(basket); });
  EXPECT_THAT(said_, HasSubstr("\"yesterday\""));
  EXPECT_THAT(book_.pieces(), IsEmpty());
  EXPECT_EQ(count("piece_reading") + count("piece_wait") + count("piece_confirmation"), "000");
  basket[22] = sample_piece();
  EXPECT_EQ(book_.add_pieces(basket).size(), 23u);
  EXPECT_EQ(book_.pieces().size(), 23u);
  EXPECT_THAT(book_.add_pieces({}), IsEmpty());
}

TEST_F(Pieces, ReadingsAreWithdrawnAndStayInTheHistory) {
  auto piece = sample_piece();
  piece.readings = {piece.readings[1], piece.readings[3]};
  const auto id = book_.add_piece(piece);
  auto again = piece.readings[0];
  again.states = {"smooth"};
  book_.add_readings(id, {again});
  EXPECT_EQ(records::current(book_.piece(id)->readings)[0].states, std::vector<std::string>{"smooth"});
  EXPECT_EQ(book_.withdraw_readings(id, "C20", "2026-10-22T09:00:00Z"), 2);
  const auto history = book_.piece(id)->readings;
  ASSERT_EQ(history.size(), 3u);
  EXPECT_EQ(history[0].withdrawn_at, "2026-10-22T09:00:00Z");
  EXPECT_EQ(history[1].withdrawn_at, "");
  EXPECT_EQ(history[2].withdrawn_at, "2026-10-22T09:00:00Z");
  EXPECT_EQ(history[0].states, std::vector<std::string>{"scaly"});
  EXPECT_EQ(records::current(history).size(), 1u);
  refused(ErrorCode::not_found, [&] { book_.withdraw_readings(id, "C20", "2026-10-23"); });
  EXPECT_EQ(book_.piece(id)->readings, history);  // the first withdrawal stands
}

TEST_F(Pieces, WithdrawalIsOfOnePieceAlone) {
  book_.add_pieces({sample_piece(), sample_piece()});
  EXPECT_EQ(book_.withdraw_readings(2, "C20", "2026-10-22"), 1);
  EXPECT_EQ(book_.piece(1)->readings[1].withdrawn_at, "");
  EXPECT_EQ(book_.piece(2)->readings[1].withdrawn_at, "2026-10-22");
}

TEST_F(Pieces, ConfirmationsAreAddedAndMistakesWithdrawn) {
  auto piece = sample_piece();
  piece.confirmations.clear();
  book_.add_pieces({piece, piece});
  const records::Confirmation word{0, "O20", "C. Thorn", "2026-10-21", true, false, ""};
  const auto first = book_.add_confirmation(1, word), second = book_.add_confirmation(1, word);
  EXPECT_EQ(book_.piece(1)->confirmations.size(), 2u);
  EXPECT_THAT(book_.piece(2)->confirmations, IsEmpty());
  refused(ErrorCode::not_found, [&] { book_.withdraw_confirmation(2, first, "2026-10-22"); });
  book_.withdraw_confirmation(1, first, "2026-10-22");
  ASSERT_EQ(book_.piece(1)->confirmations.size(), 1u);
  EXPECT_EQ(book_.piece(1)->confirmations[0].id, second);
  refused(ErrorCode::not_found, [&] { book_.withdraw_confirmation(1, first, "2026-10-23"); });
  EXPECT_EQ(count("piece_confirmation"), "2");
}

TEST_F(Pieces, WaitsComeDueInTheOrderOfTime) {
  auto piece = sample_piece();
  piece.waits.clear();
  book_.add_pieces({piece, piece});
  book_.add_wait(1, {0, "C32", "2026-10-18", "2026-10-20", ""});
  // 23:30 at -01:00 is half an hour after 00:00 UTC of the next day: its text comes before, its time after.
  book_.add_wait(1, {0, "C31", "2026-10-18", "2026-10-19T23:30:00-01:00", ""});
  book_.add_wait(2, {0, "C31", "2026-10-18", "2026-10-19T23:59:00Z", ""});
  std::vector<std::int64_t> order;
  for (const auto& open : book_.open_waits()) order.push_back(open.wait.id);
  EXPECT_THAT(order, ElementsAre(3, 1, 2));
  EXPECT_EQ(book_.open_waits()[0].piece, 2);
  EXPECT_EQ(book_.open_waits()[0].named, "O20");
  book_.finish_wait(1, "C31", "2026-10-20T07:00:00Z");
  EXPECT_EQ(book_.open_waits().size(), 2u);
  EXPECT_EQ(book_.piece(1)->waits[1].done_at, "2026-10-20T07:00:00Z");
  EXPECT_EQ(book_.piece(2)->waits[0].done_at, "");
  refused(ErrorCode::not_found, [&] { book_.finish_wait(1, "C31", "2026-10-21"); });
}

TEST_F(Pieces, NamedChangesAndTheRecordedNameStays) {
  book_.add_pieces({sample_piece(), sample_piece()});
  book_.set_named(1, "X04");
  EXPECT_EQ(book_.piece(1)->named, "X04");
  EXPECT_EQ(book_.piece(1)->name_as_recorded, "Pholiota mutabilis");
  EXPECT_EQ(book_.piece(2)->named, "O20");
  book_.set_named(1, "");
  EXPECT_EQ(book_.piece(1)->named, "");
}

TEST_F(Pieces, BadIdsAreTold) {
  book_.add_piece(sample_piece());
  for (const std::int64_t id : {std::int64_t{0}, std::int64_t{-1}, std::int64_t{2}}) {
    refused(ErrorCode::not_found, [&] { book_.add_readings(id, {sample_piece().readings[0]}); });
    EXPECT_THAT(said_, HasSubstr("no piece " + std::to_string(id)));
    refused(ErrorCode::not_found, [&] { book_.add_readings(id, {}); });
    refused(ErrorCode::not_found, [&] { book_.withdraw_readings(id, "C20", "2026-10-22"); });
    refused(ErrorCode::not_found, [&] { book_.add_confirmation(id, sample_piece().confirmations[0]); });
    refused(ErrorCode::not_found, [&] { book_.add_wait(id, sample_piece().waits[0]); });
    refused(ErrorCode::not_found, [&] { book_.finish_wait(id, "C31", "2026-10-22"); });
    refused(ErrorCode::not_found, [&] { book_.set_named(id, "E01"); });
    EXPECT_EQ(book_.piece(id), std::nullopt);
  }
  for (const std::int64_t find : {std::int64_t{-1}, std::int64_t{5}}) {
    auto piece = sample_piece();
    piece.find = find;
    refused(ErrorCode::not_found, [&] { book_.add_piece(piece); });
    EXPECT_THAT(said_, HasSubstr("no find " + std::to_string(find)));
  }
  EXPECT_EQ(book_.pieces().size(), 1u);
}

TEST_F(Pieces, WhatCannotBeKeptIsRefusedWhole) {
  auto off = [&](auto change) {
    auto piece = sample_piece();
    change(piece);
    refused(ErrorCode::bad_value, [&] { book_.add_piece(piece); });
    EXPECT_EQ(count("piece"), "0") << said_;
  };
  const double nan = std::numeric_limits<double>::quiet_NaN(),
               infinite = std::numeric_limits<double>::infinity();
  off([](auto& p) { p.place = LatLon{.lat_deg = 91, .lon_deg = 0}; });
  off([](auto& p) { p.readings[0].character = ""; });
  off([](auto& p) { p.readings[0].states = {"a|b"}; });
  off([](auto& p) { p.readings[0].states = {"a", ""}; });
  off([](auto& p) { p.readings[0].states.clear(); });  // not observed is no reading
  off([](auto& p) { p.readings[0].low = p.readings[0].high = 1; });
  off([](auto& p) { p.readings[0].by = " "; });
  off([](auto& p) { p.readings[0].at = ""; });
  off([](auto& p) { p.readings[0].at = "2026-02-30"; });
  off([](auto& p) { p.readings[0].at = "2026-10-19T07:30:00"; });  // no offset
  off([](auto& p) { p.readings[0].withdrawn_at = "later"; });
  off([](auto& p) { p.readings[2].high.reset(); });
  off([](auto& p) { std::swap(p.readings[2].low, p.readings[2].high); });
  off([&](auto& p) { p.readings[2].low = nan; });
  off([&](auto& p) { p.readings[2].high = infinite; });
  off([](auto& p) { p.readings[3].watched_s = -1; });
  off([&](auto& p) { p.readings[3].watched_s = infinite; });
  off([](auto& p) { p.confirmations[0].by = ""; });
  off([](auto& p) { p.confirmations[0].species = ""; });
  off([](auto& p) { p.confirmations[0].at = "soon"; });
  off([](auto& p) { p.waits[0].character = ""; });
  off([](auto& p) { p.waits[0].due = ""; });
  off([](auto& p) { p.waits[0].due = "2026-10-18T19:00:00-01:00"; });  // before it was set up
  off([](auto& p) { p.waits[1].done_at = "done"; });
  const auto id = book_.add_piece(sample_piece());  // and the book goes on
  refused(ErrorCode::bad_value, [&] { book_.withdraw_readings(id, "C20", "now"); });
  refused(ErrorCode::bad_value, [&] { book_.finish_wait(id, "C31", ""); });
  auto readings = sample_piece().readings;
  readings[3].by = "";
  refused(ErrorCode::bad_value, [&] { book_.add_readings(id, readings); });
  EXPECT_EQ(book_.piece(id), with_ids(sample_piece()));
}

TEST_F(Pieces, HostileTextIsOnlyText) {
  for (const std::string& text :
       {std::string("'); DROP TABLE piece; --"), std::string("nul\0inside", 10), std::string("Вёшенка 🍄"),
        std::string("\xff not UTF-8"), std::string("%s{}{0}")}) {
    auto piece = sample_piece();
    piece.finder = piece.region = piece.named = piece.name_as_recorded = piece.note = text;
    piece.readings.resize(1);
    piece.readings[0].character = piece.readings[0].by = piece.readings[0].states[0] = text;
    piece.confirmations[0].species = piece.confirmations[0].by = piece.confirmations[0].note = text;
    piece.waits[0].character = text;
    const auto back = book_.piece(book_.add_piece(piece));
    EXPECT_EQ(back->finder, text);
    EXPECT_EQ(back->note, text);
    EXPECT_EQ(back->readings[0].character, text);
    EXPECT_EQ(back->readings[0].states, piece.readings[0].states);
    EXPECT_EQ(back->confirmations[0].note, text);
    EXPECT_EQ(back->waits[0].character, text);
  }
}

TEST_F(Pieces, FailedActionTakesEveryPartOfItBack) {
  const auto id = book_.add_piece(sample_piece());
  const auto before = book_.piece(id);
  struct Stop {};
  EXPECT_THROW(book_.transaction([&] {
    book_.add_pieces({sample_piece(), sample_piece()});
    book_.add_readings(id, sample_piece().readings);
    book_.withdraw_readings(id, "C20", "2026-10-22");
    book_.finish_wait(id, "C31", "2026-10-22");
    book_.set_named(id, "X04");
    throw Stop{};
  }),
               Stop);
  EXPECT_EQ(book_.piece(id), before);
  EXPECT_EQ(book_.pieces().size(), 1u);
  EXPECT_EQ(book_.open_waits().size(), 1u);
}

TEST_F(Pieces, CopyOfTheClosedFileHoldsThemAll) {
  const auto copy = folder_.path() / "copy.gpkg";
  auto piece = sample_piece();
  book_.add_pieces(std::vector(23, piece));
  const auto all = book_.pieces();
  book_ = Book::create(folder_.path() / "other.gpkg");  // closes the first
  std::filesystem::copy_file(path_, copy);
  EXPECT_EQ(Book::open(copy).pieces(), all);
}

TEST_F(Pieces, OpenForReadingOnlyTakesNone) {
  book_.add_piece(sample_piece());
  Book reader = Book::open(path_, true);
  refused(ErrorCode::store_failed, [&] { reader.add_piece(sample_piece()); });
  refused(ErrorCode::store_failed, [&] { reader.set_named(1, "E01"); });
  EXPECT_EQ(reader.pieces().size(), 1u);
}

TEST_F(Pieces, ReadingsCannotBeChangedOrErasedEvenByHand) {
  book_.add_piece(sample_piece());
  for (const char* change : {"states = 'smooth'", "character = 'C01'", "dug = 1 - dug", "cut = 1 - cut",
                             "micro = 1 - micro", "watched_seconds = 301", "read_by = 'nobody'",
                             "read_at = '2026-01-01'", "piece = 1 - piece", "id = id + 50"})
    EXPECT_THAT(
        raw_refusal(path_, "UPDATE piece_reading SET " + std::string(change) + " WHERE withdrawn_at = ''"),
        HasSubstr("never changed"))
        << change;
  EXPECT_THAT(raw_refusal(path_, "UPDATE piece_reading SET high = 8, low = 7 WHERE low IS NOT NULL"),
              HasSubstr("never changed"));
  EXPECT_THAT(raw_refusal(path_, "UPDATE piece_reading SET withdrawn_at = '' WHERE withdrawn_at <> ''"),
              HasSubstr("never changed"));
  EXPECT_THAT(raw_refusal(path_, "DELETE FROM piece_reading"), HasSubstr("never erased"));
  EXPECT_THAT(raw_refusal(path_, "UPDATE piece SET name_as_recorded = 'better'"), HasSubstr("never changes"));
  EXPECT_EQ(book_.piece(1), with_ids(sample_piece()));
}

TEST_F(Pieces, PieceThatIsTakenBackTakesItsReadingsAlong) {
  const auto piece = sample_piece();
  book_.add_pieces({piece, piece});
  EXPECT_EQ(raw_refusal(path_, "DELETE FROM piece WHERE id = 1"), "");
  EXPECT_EQ(book_.piece(1), std::nullopt);
  EXPECT_EQ(book_.piece(2)->readings.size(), piece.readings.size());
  EXPECT_EQ(count("piece_reading"), std::to_string(piece.readings.size()));
  EXPECT_EQ(count("piece_confirmation"), "2");
  EXPECT_EQ(count("piece_wait"), "2");
  EXPECT_EQ(book_.add_piece(piece), 3);  // its number is never used again
  EXPECT_THAT(book_.faults(), IsEmpty());
}

TEST_F(Pieces, FindOrOutingWithPiecesIsNotDeleted) {
  book_.put_ground(sample_ground());
  const auto outing = book_.add_outing(sample_outing());
  auto piece = sample_piece();
  piece.find = book_.outing(outing)->finds[0].id;
  book_.add_piece(piece);
  EXPECT_THAT(raw_refusal(path_, "DELETE FROM find WHERE id = " + std::to_string(piece.find)),
              HasSubstr("FOREIGN KEY"));
  EXPECT_THAT(raw_refusal(path_, "DELETE FROM outing"), HasSubstr("FOREIGN KEY"));
  EXPECT_EQ(book_.outing(outing)->finds.size(), 2u);
  EXPECT_EQ(book_.pieces({.find = piece.find}).size(), 1u);
  // One without pieces still goes.
  EXPECT_EQ(raw_refusal(path_, "DELETE FROM find WHERE id <> " + std::to_string(piece.find)), "");
  EXPECT_EQ(book_.outing(outing)->finds.size(), 1u);
}

TEST_F(Pieces, FaultsNameWhatLeadsNowhere) {
  auto piece = sample_piece();
  piece.find = book_.add_find(sample_find("E01", std::nullopt));
  piece.readings.resize(1);
  piece.confirmations.clear();
  piece.waits.clear();
  book_.add_piece(piece);
  EXPECT_THAT(book_.faults(), IsEmpty());
  // As another program might, without foreign keys.
  raw_exec(path_, "PRAGMA foreign_keys = OFF; DELETE FROM find");
  EXPECT_THAT(book_.faults(), ElementsAre("piece 1 names a find that the book does not hold"));
  raw_exec(path_, "PRAGMA foreign_keys = OFF; UPDATE piece SET find = NULL; DELETE FROM rtree_piece_geom");
  EXPECT_THAT(book_.faults(), ElementsAre("piece: 1 places, 0 in its spatial index"));
  raw_exec(path_, "PRAGMA foreign_keys = OFF; DELETE FROM piece");
  EXPECT_THAT(book_.faults(), ElementsAre("piece_reading 1 names a piece that the book does not hold"));
}

}  // namespace
}  // namespace stumpwise::book
