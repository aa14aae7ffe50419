#include "piece_rows.h"

#include <fmt/format.h>

#include "geometry.h"
#include "stumpwise/base/text.h"

namespace stumpwise::book {
namespace {

constexpr char kBetweenStates = '|';

records::Observation read_reading(const Query& q) {
  records::Observation reading;
  reading.id = q.integer(0);
  reading.character = q.text(1);
  if (const std::string states = q.text(2); !states.empty())
    reading.states = base::split(states, kBetweenStates);
  reading.low = q.maybe_number(3);
  reading.high = q.maybe_number(4);
  reading.dug = q.small(5) != 0;
  reading.cut = q.small(6) != 0;
  reading.micro = q.small(7) != 0;
  reading.watched_s = q.maybe_number(8);
  reading.by = q.text(9);
  reading.at = q.text(10);
  reading.withdrawn_at = q.text(11);
  return reading;
}

records::Confirmation read_confirmation(const Query& q) {
  records::Confirmation confirmation;
  confirmation.id = q.integer(0);
  confirmation.species = q.text(1);
  confirmation.by = q.text(2);
  confirmation.at = q.text(3);
  confirmation.in_hand = q.small(4) != 0;
  confirmation.imported = q.small(5) != 0;
  confirmation.note = q.text(6);
  return confirmation;
}

[[noreturn]] void refuse(const records::Observation& reading, const std::string& why) {
  throw Error(ErrorCode::bad_value, fmt::format("{}: {}", base::printable(reading.character), why));
}

}  // namespace

records::Piece read_piece(const Query& q) {
  records::Piece piece;
  piece.id = q.integer(0);
  piece.find = q.integer(1);
  piece.finder = q.text(2);
  piece.date = q.date(3);
  if (!q.is_null(4)) piece.place = read_point(q.text(4));
  piece.region = q.text(5);
  piece.named = q.text(6);
  piece.name_as_recorded = q.text(7);
  piece.note = q.text(8);
  return piece;
}

records::Wait read_wait(const Query& q, int first) {
  return {q.integer(first), q.text(first + 1), q.text(first + 2), q.text(first + 3), q.text(first + 4)};
}

void fill(const Store& store, records::Piece& piece) {
  Query readings(
      store,
      "SELECT id, character, states, low, high, dug, cut, micro, watched_seconds, read_by, read_at, "
      "withdrawn_at FROM piece_reading WHERE piece = ? ORDER BY id");
  readings.with(piece.id);
  while (readings.next()) piece.readings.push_back(read_reading(readings));
  Query confirmations(store,
                      "SELECT id, species, confirmed_by, confirmed_at, in_hand, imported, note FROM "
                      "piece_confirmation WHERE piece = ? AND withdrawn_at = '' ORDER BY id");
  confirmations.with(piece.id);
  while (confirmations.next()) piece.confirmations.push_back(read_confirmation(confirmations));
  Query waits(store, fmt::format("SELECT {} FROM piece_wait WHERE piece = ? ORDER BY id", kWaitColumns));
  waits.with(piece.id);
  while (waits.next()) piece.waits.push_back(read_wait(waits, 0));
}

std::string states_text(const std::vector<std::string>& states) {
  for (const std::string& state : states)
    if (state.empty() || state.find(kBetweenStates) != std::string::npos)
      throw Error(ErrorCode::bad_value,
                  fmt::format("\"{}\" is no state: it is a word of the character's list, without \"|\"",
                              base::printable(state)));
  return base::join(states, std::string(1, kBetweenStates));
}

void require_when(const std::string& text, const char* field) {
  if (!base::parse_instant(text) && !base::parse_date(text))
    throw Error(
        ErrorCode::bad_value,
        fmt::format("{}: \"{}\" is neither a day nor an instant with offset", field, base::printable(text)),
        "Write 2026-10-18 or 2026-10-18T16:24:00-01:00.");
}

Instant when(const std::string& text) {
  if (const auto instant = base::parse_instant(text)) return *instant;
  if (const auto day = base::parse_date(text)) return Instant{*day};
  throw Error(ErrorCode::bad_format, fmt::format("\"{}\" in the book is no instant", base::printable(text)));
}

void require_said(const std::string& text, const char* field) {
  if (base::trim(text).empty())
    throw Error(ErrorCode::bad_value, fmt::format("{} is missing", field), "It must not be empty.");
}

void require_reading(const records::Observation& reading) {
  require_said(reading.character, "the character of a reading");
  require_said(reading.by, "who made the reading");
  require_when(reading.at, "when the reading was made");
  if (!reading.withdrawn_at.empty()) require_when(reading.withdrawn_at, "when the reading was withdrawn");
  const bool number = reading.low || reading.high;
  if (number == !reading.states.empty())
    refuse(reading,
           number ? "a reading has states or a number, not both"
                  : "a reading has at least one state, or a number; what was not observed is no reading");
  if (number && (!reading.low || !reading.high)) refuse(reading, "a number has a low and a high end");
  if (number && !(*reading.low <= *reading.high))
    refuse(reading,
           fmt::format("{} to {} is no range: the low end comes first", *reading.low, *reading.high));
  if (reading.watched_s && !(*reading.watched_s >= 0))
    refuse(reading, fmt::format("watched for {} seconds: 0 or more", *reading.watched_s));
}

void require_confirmation(const records::Confirmation& confirmation) {
  require_said(confirmation.species, "the species that is confirmed");
  require_said(confirmation.by, "the name of who confirms");
  require_when(confirmation.at, "when it was confirmed");
}

void require_wait(const records::Wait& wait) {
  require_said(wait.character, "the character that is waited for");
  require_when(wait.started, "when it was set up");
  require_when(wait.due, "when it is due");
  if (!wait.done_at.empty()) require_when(wait.done_at, "when it was done");
  if (when(wait.due) < when(wait.started))
    throw Error(ErrorCode::bad_value, fmt::format("{}: due {} lies before its start {}",
                                                  base::printable(wait.character), wait.due, wait.started));
}

}  // namespace stumpwise::book
