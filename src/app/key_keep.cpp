#include "key_keep.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <set>

#include "key_answer.h"
#include "stumpwise/base/text.h"

namespace stumpwise::app {
namespace {

using Seconds = std::chrono::sys_seconds;

Seconds now() {
  return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
}

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

const species::Character& character_of(const species::Library& library, const std::string& text) {
  const std::string wanted = base::lower(base::trim(text));
  std::vector<std::string> parts;
  for (const species::Character& row : library.characters()) {
    if (base::lower(row.id) == wanted) return row;
    if (!wanted.empty() && base::lower(row.part_of) == wanted) parts.push_back(row.id);
  }
  if (!parts.empty())
    throw Error(ErrorCode::bad_value, "character " + base::printable(text) + " is read in parts",
                "Give one of " + base::join(parts, ", ") + ".");
  throw Error(ErrorCode::bad_value, "\"" + base::printable(text) + "\" is no character",
              "profiles/characters.toml lists them, C01 to " + library.characters().back().id + ".");
}

/// What lies overnight or under the microscope; the rest is read at once.
bool can_wait(const species::Character& row) {
  return row.evidence_group == "SP" || row.how.find('P') != std::string::npos;
}

bool from_print(const species::Character& row) {
  return row.evidence_group == "SP" && row.id != "C31" && row.id != "C33.ascus";
}

/// Spores come from a print: its hours are added where none was read.
std::chrono::minutes minutes_until_due(const species::Library& library, const species::Character& row,
                                       const std::vector<records::Observation>& readings) {
  double minutes = row.minutes;
  const bool print = std::any_of(readings.begin(), readings.end(),
                                 [](const auto& reading) { return reading.character == "C31"; });
  if (from_print(row) && !print) minutes += library.character("C31")->minutes;
  return std::chrono::minutes{static_cast<int>(minutes)};
}

void write_waits(Session& session, const records::Piece& piece, const PieceChange& change,
                 std::vector<std::string>& said) {
  const records::Piece there = require_piece(session, piece.id);
  const auto readings = records::current(there.readings);
  std::set<std::string> open;
  for (const auto& wait : there.waits)
    if (wait.done_at.empty()) open.insert(wait.character);
  for (const std::string& id : change.begun) {
    if (!open.insert(id).second) {
      said.push_back(id + " is being waited for already; its time runs on");
      continue;
    }
    const auto due = now() + minutes_until_due(session.library(), *session.library().character(id), readings);
    session.book().add_wait(piece.id, {0, id, now_text(), base::to_text_utc(due), ""});
  }
}

void finish_waits(Session& session, const records::Piece& piece, const PieceChange& change) {
  std::set<std::string> read, done;
  for (const auto& reading : change.readings) read.insert(reading.character);
  for (const auto& wait : piece.waits)
    if (wait.done_at.empty() && read.count(wait.character) && done.insert(wait.character).second)
      session.book().finish_wait(piece.id, wait.character, now_text());
}

/// Whether the gate lets `species` through, at the piece's own place.
bool lets_through(Session& session, const records::Piece& piece, const std::string& species) {
  const species::Profile* profile = session.library().find(species);
  const KeyPlace place = key_place(session, {}, &piece);
  return profile && !place.region.empty() &&
         session.key()
             .gate()
             .judge(*profile, records::current(piece.readings), session.library().parse_regions(place.region))
             .open;
}

/// A word rests on the readings that it was given on.
void drop_words(Session& session, const records::Piece& before, std::vector<std::string>& said) {
  const records::Piece after = require_piece(session, before.id);
  for (const auto& word : before.confirmations) {
    if (!counts(word, before) || !lets_through(session, before, word.species) ||
        lets_through(session, after, word.species))
      continue;
    session.book().withdraw_confirmation(before.id, word.id, now_text());
    said.push_back(fmt::format(
        "piece {} is no longer confirmed: the word of {} of {} rested on readings that are changed; what "
        "keeps the gate shut stands above, and once it opens the word is asked for again",
        before.id, word.by, word.at.substr(0, 10)));
  }
}

}  // namespace

std::string now_text() {
  return base::to_text_utc(now());
}

records::Piece require_piece(Session& session, std::int64_t id) {
  if (auto piece = session.book().piece(id)) return *piece;
  throw Error(ErrorCode::not_found, fmt::format("the book holds no piece {}", id),
              "stumpwise piece list shows them.");
}

PieceChange piece_change(Session& session, const KeyRequest& request, const std::string& by) {
  const species::Library& library = session.library();
  PieceChange change;
  for (const std::string& text : request.seen) {
    change.readings.push_back(key::parse_observation(library, text));
    change.readings.back().by = by;
    change.readings.back().at = now_text();
  }
  for (const std::string& text : request.taken_back)
    if (const std::string id = character_of(library, text).id; !among(change.taken_back, id))
      change.taken_back.push_back(id);
  for (const std::string& text : request.begun) {
    const species::Character& row = character_of(library, text);
    if (!can_wait(row))
      throw Error(ErrorCode::bad_value, fmt::format("{} ({}) is read at once", row.id, row.name),
                  "Begin C31, a print, or what is read from its spores.");
    if (!among(change.begun, row.id)) change.begun.push_back(row.id);
  }
  return change;
}

void keep(Session& session, const records::Piece& piece, const PieceChange& change,
          std::vector<std::string>& said) {
  book::Book& book = session.book();
  book.transaction([&] {
    for (const std::string& id : change.taken_back) book.withdraw_readings(piece.id, id, now_text());
    if (!change.readings.empty()) book.add_readings(piece.id, change.readings);
    finish_waits(session, piece, change);
    if (!change.begun.empty()) write_waits(session, piece, change, said);
    if (!change.named.empty() && change.named != piece.named) {
      book.set_named(piece.id, change.named);
      if (!piece.named.empty())
        said.push_back(
            fmt::format("piece {} was named {} and is named {} now", piece.id, piece.named, change.named));
    }
    if (!change.readings.empty() || !change.taken_back.empty()) drop_words(session, piece, said);
  });
}

}  // namespace stumpwise::app
