#pragma once
#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/app/session.h"

namespace stumpwise::app {

struct KeyRequest {
  std::optional<LatLon> at;
  std::string ground, region;     ///< region "EU+NA-E"; else that of the ground at the place, of the piece
  std::optional<Date> date;       ///< today unless given; ranks names, never gates
  std::string name;               ///< any name of the resolver; empty: the likeliest that is gathered
  std::vector<std::string> seen;  ///< "C20=one-hollow@cut"
  std::vector<std::string> taken_back;  ///< characters whose readings no longer count
  std::vector<std::string> begun;       ///< characters that are being waited for: a print is lying
  std::string experience = "trained";   ///< novice, trained, expert; ranks names, never gates
  std::string by;                       ///< who read
  std::int64_t piece = 0;               ///< of the book: readings are kept with it; 0: none
  int most_next = 8;
};
/// What is it, what dangerous thing could it still be, what to look at next.
nlohmann::json key(Session& session, const KeyRequest& request);
/// The page's request; Error(bad_usage) naming the field that is off or that nobody knows.
KeyRequest key_request_from_json(const nlohmann::json& json);
/// The vocabulary by how each character is observed, and the regions, for faces that offer them.
nlohmann::json characters(Session& session);

struct MatrixKeyRequest {
  std::string matrix, groups;     ///< species by characters, and the evidence group of each character
  std::vector<std::string> seen;  ///< "cap-shape=x|f", "cap-diameter=8.5"
  int most_next = 8;
};
/// The same engine on a character matrix from elsewhere. Rule G6 alone can be judged there, so nothing rises.
nlohmann::json matrix_key(const MatrixKeyRequest& request);

struct PieceAddRequest {
  std::string finder, name, region, note;
  std::int64_t find = 0;
  std::optional<Date> date;
  std::optional<LatLon> at;
  int pieces = 1;
};
nlohmann::json piece_add(Session& session, const PieceAddRequest& request);
nlohmann::json piece_list(Session& session);
nlohmann::json piece_show(Session& session, std::int64_t id);

struct ConfirmRequest {
  std::int64_t piece = 0;
  std::string by, name, note;
  std::string from = "hand";  ///< hand; photo and report are kept and open nothing
};
/// Another person's word with the whole piece in hand. Error(not_possible) while the gate is shut, and for
/// the finder's own name.
nlohmann::json piece_confirm(Session& session, const ConfirmRequest& request);

/// The page's requests; Error(bad_usage) naming the field that is off or that nobody knows.
PieceAddRequest piece_add_request_from_json(const nlohmann::json& json);
ConfirmRequest confirm_request_from_json(const nlohmann::json& json);

}  // namespace stumpwise::app
