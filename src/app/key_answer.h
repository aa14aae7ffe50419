#pragma once
#include "json.h"
#include "stumpwise/app/key.h"
#include "stumpwise/key/identify.h"
#include "stumpwise/records/piece.h"

namespace stumpwise::app {

/// Where a piece was found, as far as the key needs it.
struct KeyPlace {
  std::string region;  ///< as given or found; empty: not known
  std::string said;    ///< where the region was taken from
  std::string ground;  ///< the ground that holds the place; empty: none
};
KeyPlace key_place(Session& session, const KeyRequest& request, const records::Piece* piece);

/// Weights of the names from region, day, weather and hosts nearby; `said` collects what they rest on.
std::vector<double> key_prior(Session& session, const KeyRequest& request, const KeyPlace& place,
                              const std::optional<LatLon>& at, std::vector<std::string>& said);

/// The answer of the engine as JSON, the confirmation of a piece taken in. Of what to look at next the first
/// `most_next` (none at 0) and what must be seen for the name.
Json key_json(Session& session, const key::Question& question, const key::Answer& answer,
              const records::Piece* piece, std::size_t most_next);
Json readings_json(const species::Library& library, const std::vector<key::Observation>& readings);

/// By another person, with the piece in hand, not imported.
bool counts(const records::Confirmation& word, const records::Piece& piece);
/// The confirmation that counts for `species`.
const records::Confirmation* counting_confirmation(const records::Piece& piece, const std::string& species);
/// Folded for case (of A to Z) and blanks: "Ann  Lee" is "ann lee".
bool same_person(const std::string& a, const std::string& b);

}  // namespace stumpwise::app
