// Pieces with their readings, confirmations and waits. Nothing here erases: what no longer counts is
// withdrawn.
#include <fmt/format.h>

#include <algorithm>

#include "geometry.h"
#include "impl.h"
#include "piece_rows.h"
#include "stumpwise/base/text.h"

namespace stumpwise::book {

using records::Piece;

void Book::Impl::require_piece(std::int64_t id) const {
  Query query(store, "SELECT 1 FROM piece WHERE id = ?");
  if (!query.with(id).next())
    throw Error(ErrorCode::not_found, fmt::format("the book holds no piece {}", id));
}

std::int64_t Book::Impl::insert_piece(const Piece& piece) {
  if (piece.place) require_place(*piece.place, "piece");
  if (piece.find != 0) {
    Query find(store, "SELECT 1 FROM find WHERE id = ?");
    if (!find.with(piece.find).next())
      throw Error(ErrorCode::not_found, fmt::format("the book holds no find {}", piece.find));
  }
  Query query(store,
              "INSERT INTO piece (geom, find, finder, date, region, named, name_as_recorded, note) VALUES "
              "(?,?,?,?,?,?,?,?)");
  piece.place ? query.with_blob(point_blob(*piece.place)) : query.with_null();
  piece.find != 0 ? query.with(piece.find) : query.with_null();
  query.with(piece.finder)
      .with(piece.date)
      .with(piece.region)
      .with(piece.named)
      .with(piece.name_as_recorded)
      .with(piece.note)
      .run();
  const std::int64_t id = store.last_id();
  insert_readings(id, piece.readings);
  for (const auto& confirmation : piece.confirmations) insert_confirmation(id, confirmation);
  for (const auto& wait : piece.waits) insert_wait(id, wait);
  return id;
}

void Book::Impl::insert_readings(std::int64_t piece, const std::vector<records::Observation>& readings) {
  Query query(store,
              "INSERT INTO piece_reading (piece, character, states, low, high, dug, cut, micro, "
              "watched_seconds, read_by, read_at, withdrawn_at) VALUES (?,?,?,?,?,?,?,?,?,?,?,?)");
  for (const records::Observation& reading : readings) {
    require_reading(reading);
    query.with(piece)
        .with(reading.character)
        .with(states_text(reading.states))
        .with(reading.low, "low end")
        .with(reading.high, "high end")
        .with(reading.dug)
        .with(reading.cut)
        .with(reading.micro)
        .with(reading.watched_s, "seconds")
        .with(reading.by)
        .with(reading.at)
        .with(reading.withdrawn_at)
        .run();
  }
}

std::int64_t Book::Impl::insert_confirmation(std::int64_t piece, const records::Confirmation& confirmation) {
  require_confirmation(confirmation);
  Query(
      store,
      "INSERT INTO piece_confirmation (piece, species, confirmed_by, confirmed_at, in_hand, imported, note, "
      "withdrawn_at) VALUES (?,?,?,?,?,?,?,'')")
      .with(piece)
      .with(confirmation.species)
      .with(confirmation.by)
      .with(confirmation.at)
      .with(confirmation.in_hand)
      .with(confirmation.imported)
      .with(confirmation.note)
      .run();
  return store.last_id();
}

std::int64_t Book::Impl::insert_wait(std::int64_t piece, const records::Wait& wait) {
  require_wait(wait);
  Query(store, "INSERT INTO piece_wait (piece, character, started_at, due_at, done_at) VALUES (?,?,?,?,?)")
      .with(piece)
      .with(wait.character)
      .with(wait.started)
      .with(wait.due)
      .with(wait.done_at)
      .run();
  return store.last_id();
}

std::int64_t Book::add_piece(const Piece& piece) {
  return add_pieces({piece}).front();
}

std::vector<std::int64_t> Book::add_pieces(const std::vector<Piece>& pieces) {
  std::vector<std::int64_t> ids;
  transaction([&] {
    for (const Piece& piece : pieces) ids.push_back(impl_->insert_piece(piece));
  });
  return ids;
}

std::optional<Piece> Book::piece(std::int64_t id) const {
  std::optional<Piece> piece;
  impl_->store.reading([&] {
    Query query(impl_->store, fmt::format("SELECT {} FROM piece WHERE id = ?", kPieceColumns));
    if (!query.with(id).next()) return;
    piece = read_piece(query);
    fill(impl_->store, *piece);
  });
  return piece;
}

std::vector<Piece> Book::pieces(const PieceQuery& which) const {
  std::string where;
  if (which.find) where += *which.find == 0 ? " AND find IS NULL" : " AND find = ?";
  if (which.from) where += " AND date >= ?";
  if (which.to) where += " AND date <= ?";
  std::vector<Piece> pieces;
  impl_->store.reading([&] {
    Query query(impl_->store,
                fmt::format("SELECT {} FROM piece WHERE TRUE{} ORDER BY date, id", kPieceColumns, where));
    if (which.find.value_or(0) != 0) query.with(*which.find);
    if (which.from) query.with(*which.from);
    if (which.to) query.with(*which.to);
    while (query.next()) pieces.push_back(read_piece(query));
    for (Piece& piece : pieces) fill(impl_->store, piece);
  });
  return pieces;
}

void Book::add_readings(std::int64_t piece, const std::vector<records::Observation>& readings) {
  transaction([&] {
    impl_->require_piece(piece);
    impl_->insert_readings(piece, readings);
  });
}

int Book::withdraw_readings(std::int64_t piece, const std::string& character, const std::string& at) {
  require_when(at, "when the reading was withdrawn");
  int withdrawn = 0;
  transaction([&] {
    impl_->require_piece(piece);
    withdrawn = Query(impl_->store,
                      "UPDATE piece_reading SET withdrawn_at = ? WHERE piece = ? AND character = ? AND "
                      "withdrawn_at = ''")
                    .with(at)
                    .with(piece)
                    .with(character)
                    .run();
    if (withdrawn == 0)
      throw Error(ErrorCode::not_found, fmt::format("piece {} has no reading of {} that counts", piece,
                                                    base::printable(character)));
  });
  return withdrawn;
}

std::int64_t Book::add_confirmation(std::int64_t piece, const records::Confirmation& confirmation) {
  std::int64_t id = 0;
  transaction([&] {
    impl_->require_piece(piece);
    id = impl_->insert_confirmation(piece, confirmation);
  });
  return id;
}

void Book::withdraw_confirmation(std::int64_t piece, std::int64_t confirmation, const std::string& at) {
  require_when(at, "when the confirmation was withdrawn");
  transaction([&] {
    impl_->require_piece(piece);
    const int withdrawn =
        Query(impl_->store,
              "UPDATE piece_confirmation SET withdrawn_at = ? WHERE piece = ? AND id = ? AND "
              "withdrawn_at = ''")
            .with(at)
            .with(piece)
            .with(confirmation)
            .run();
    if (withdrawn == 0)
      throw Error(ErrorCode::not_found,
                  fmt::format("piece {} has no confirmation {} that counts", piece, confirmation));
  });
}

std::int64_t Book::add_wait(std::int64_t piece, const records::Wait& wait) {
  std::int64_t id = 0;
  transaction([&] {
    impl_->require_piece(piece);
    id = impl_->insert_wait(piece, wait);
  });
  return id;
}

void Book::finish_wait(std::int64_t piece, const std::string& character, const std::string& at) {
  require_when(at, "when it was done");
  transaction([&] {
    impl_->require_piece(piece);
    const int done =
        Query(impl_->store,
              "UPDATE piece_wait SET done_at = ? WHERE piece = ? AND character = ? AND done_at = ''")
            .with(at)
            .with(piece)
            .with(character)
            .run();
    if (done == 0)
      throw Error(ErrorCode::not_found,
                  fmt::format("nothing is open for {} of piece {}", base::printable(character), piece));
  });
}

void Book::set_named(std::int64_t piece, const std::string& species) {
  transaction([&] {
    impl_->require_piece(piece);
    Query(impl_->store, "UPDATE piece SET named = ? WHERE id = ?").with(species).with(piece).run();
  });
}

std::vector<OpenWait> Book::open_waits() const {
  std::vector<OpenWait> open;
  Query query(impl_->store,
              "SELECT piece.id, named, piece_wait.id, character, started_at, due_at, done_at FROM piece_wait "
              "JOIN piece ON piece.id = piece_wait.piece WHERE done_at = '' ORDER BY piece_wait.id");
  while (query.next()) open.push_back({query.integer(0), query.text(1), read_wait(query, 2)});
  // Offsets differ: the text's order is not that of time.
  std::stable_sort(open.begin(), open.end(),
                   [](const OpenWait& a, const OpenWait& b) { return when(a.wait.due) < when(b.wait.due); });
  return open;
}

}  // namespace stumpwise::book
