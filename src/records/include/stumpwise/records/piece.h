#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/date.h"

namespace stumpwise::records {

/// One reading of one character on one fruit body. Several states: the reader was unsure between them. "Not
/// observed" is no reading at all; an absence that was looked for is a state of its own ("none").
struct Observation {
  std::int64_t id = 0;
  std::string character;            ///< id of profiles/characters.toml
  std::vector<std::string> states;  ///< of a character with states
  std::optional<double> low, high;  ///< of a number, in the vocabulary's unit; equal for a single value
  bool dug = false;                 ///< the base was dug out whole
  bool cut = false;                 ///< cut through
  bool micro = false;               ///< under the microscope
  std::optional<double> watched_s;  ///< how long a cut or rubbed place was watched
  std::string by;                   ///< who
  std::string at;                   ///< ISO 8601 instant with offset, or a day
  std::string withdrawn_at;         ///< empty while it counts; a reading is never erased
  bool operator==(const Observation&) const = default;
};

/// Another person's word on a piece. It counts only with the whole piece in hand.
struct Confirmation {
  std::int64_t id = 0;
  std::string species;  ///< profile id that was confirmed
  std::string by, at;
  bool in_hand = true;    ///< false: from a photograph or a report; opens nothing
  bool imported = false;  ///< came with someone else's file; opens nothing
  std::string note;
  bool operator==(const Confirmation&) const = default;
};

/// Something that was set up and comes due: a print, spores to measure.
struct Wait {
  std::int64_t id = 0;
  std::string character;  ///< what it will answer: C31, C32
  std::string started, due, done_at;
  bool operator==(const Wait&) const = default;
};

/// One fruit body. Identity belongs to the piece, never to the basket.
struct Piece {
  std::int64_t id = 0;
  std::int64_t find = 0;  ///< the find it belongs to, 0: none
  std::string finder;     ///< who found it; cannot confirm it
  Date date;
  std::optional<LatLon> place;
  std::string region;            ///< "EU+NA-E"; empty: that of the ground or unknown
  std::string named;             ///< profile id that the finder thinks it is, may be empty
  std::string name_as_recorded;  ///< the name it was made under; never changed
  std::string note;
  std::vector<Observation> readings;  ///< in the order in which they were made, withdrawn ones included
  std::vector<Confirmation> confirmations;
  std::vector<Wait> waits;
  bool operator==(const Piece&) const = default;
};

/// The readings that count: the last of each character that was not withdrawn.
std::vector<Observation> current(const std::vector<Observation>& history);

}  // namespace stumpwise::records
