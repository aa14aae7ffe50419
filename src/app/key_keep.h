#pragma once
#include <string>
#include <vector>

#include "json.h"
#include "stumpwise/app/key.h"
#include "stumpwise/records/piece.h"

namespace stumpwise::app {

/// What a request changes of a piece, read and found right before anything is written.
struct PieceChange {
  std::vector<records::Observation> readings;
  std::vector<std::string> taken_back, begun;  ///< ids of characters
  std::string named;                           ///< profile; empty: as it was
};
/// Error(bad_value) naming the reading, character or wait that is off.
PieceChange piece_change(Session& session, const KeyRequest& request, const std::string& by);

/// All of it in one transaction, or nothing. A word that another person gave on the piece is withdrawn where
/// the readings it rested on are changed so that the gate is shut; `said` tells it.
void keep(Session& session, const records::Piece& piece, const PieceChange& change,
          std::vector<std::string>& said);

/// The piece of that number; Error(not_found).
records::Piece require_piece(Session& session, std::int64_t id);
/// This moment, UTC, to the second.
std::string now_text();

}  // namespace stumpwise::app
