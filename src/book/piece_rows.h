#pragma once
// Private to book: the rows of a piece, read and checked.
#include <string>
#include <vector>

#include "store.h"
#include "stumpwise/records/piece.h"

namespace stumpwise::book {

constexpr const char* kPieceColumns =
    "id, coalesce(find, 0), finder, date, geom, region, named, name_as_recorded, note";
constexpr const char* kWaitColumns = "id, character, started_at, due_at, done_at";

/// Without its readings, confirmations and waits.
records::Piece read_piece(const Query& q);
/// Of the columns from `first` on.
records::Wait read_wait(const Query& q, int first);
/// Readings, confirmations that were not withdrawn, and waits of a piece that was read.
void fill(const Store& store, records::Piece& piece);

/// As one column: "a|b". Error(bad_value) for an empty state or one with "|" in it.
std::string states_text(const std::vector<std::string>& states);

/// Error(bad_value) naming `field` where the text is neither a day nor an instant with offset.
void require_when(const std::string& text, const char* field);
/// A day counts from its first second (UTC).
Instant when(const std::string& text);
void require_said(const std::string& text, const char* field);

/// Error(bad_value) for what cannot be kept.
void require_reading(const records::Observation& reading);
void require_confirmation(const records::Confirmation& confirmation);
void require_wait(const records::Wait& wait);

}  // namespace stumpwise::book
