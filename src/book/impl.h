#pragma once
// Private to book.
#include "store.h"
#include "stumpwise/book/book.h"

namespace stumpwise::book {

struct Book::Impl {
  Impl(const std::filesystem::path& path, Store::Mode mode) : store(path, mode) {}
  Store store;
  /// Error(not_found) with the names there are.
  void require_ground(const std::string& name) const;
  std::int64_t insert_find(const records::Find& find, std::int64_t outing);
  void require_piece(std::int64_t id) const;
  std::int64_t insert_piece(const records::Piece& piece);
  void insert_readings(std::int64_t piece, const std::vector<records::Observation>& readings);
  std::int64_t insert_confirmation(std::int64_t piece, const records::Confirmation& confirmation);
  std::int64_t insert_wait(std::int64_t piece, const records::Wait& wait);
  void insert_track(std::int64_t outing, const std::vector<records::TrackPoint>& track);
};

}  // namespace stumpwise::book
