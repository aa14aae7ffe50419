#include <fmt/format.h>

#include <chrono>

#include "key_answer.h"
#include "stumpwise/base/text.h"

namespace stumpwise::app {
namespace {

std::string now_text() {
  return base::to_text_utc(std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()));
}

records::Piece require_piece(Session& session, std::int64_t id) {
  if (auto piece = session.book().piece(id)) return *piece;
  throw Error(ErrorCode::not_found, fmt::format("the book holds no piece {}", id),
              "stumpwise piece list shows them.");
}

std::string character_id(const species::Library& library, const std::string& text) {
  for (const species::Character& row : library.characters())
    if (base::lower(row.id) == base::lower(base::trim(text))) return row.id;
  throw Error(ErrorCode::bad_value, "\"" + base::printable(text) + "\" is no character",
              "profiles/characters.toml lists them, C01 to " + library.characters().back().id + ".");
}

std::vector<key::Observation> parse_all(Session& session, const KeyRequest& request, const std::string& by) {
  std::vector<key::Observation> list;
  for (const std::string& text : request.seen) {
    list.push_back(key::parse_observation(session.library(), text));
    list.back().by = by;
    list.back().at = now_text();
  }
  return list;
}

/// What the request changes of a piece is written first, readings before what rests on them.
void keep(Session& session, const KeyRequest& request, const records::Piece& piece,
          const std::vector<key::Observation>& readings) {
  book::Book& book = session.book();
  const species::Library& library = session.library();
  std::vector<std::string> taken_back, begun;
  for (const std::string& text : request.taken_back) taken_back.push_back(character_id(library, text));
  for (const std::string& text : request.begun) begun.push_back(character_id(library, text));
  for (const std::string& id : taken_back) book.withdraw_readings(piece.id, id, now_text());
  if (!readings.empty()) book.add_readings(piece.id, readings);
  for (const auto& reading : readings)
    for (const auto& wait : piece.waits)
      if (wait.done_at.empty() && wait.character == reading.character)
        book.finish_wait(piece.id, wait.character, now_text());
  for (const std::string& id : begun) {
    const auto now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
    const auto minutes = std::chrono::minutes{static_cast<int>(library.character(id)->minutes)};
    book.add_wait(piece.id, {0, id, base::to_text_utc(now), base::to_text_utc(now + minutes), ""});
  }
  if (!request.name.empty()) book.set_named(piece.id, library.require(request.name).id);
}

void refuse_without_piece(const KeyRequest& request) {
  if (!request.taken_back.empty() || !request.begun.empty())
    throw Error(ErrorCode::bad_usage, "only a piece of the book keeps readings and waits",
                "Add --piece N; stumpwise piece add makes one.");
}

void add_cautions(Cautions& cautions, const Json& answer) {
  cautions.add(caution::Place::candidates);
  if (answer["standing"] == "doubles contradicted" || answer["standing"] == "confirmed")
    cautions.add("per-piece");
  cautions.add("empty-print");
}

}  // namespace

Json key(Session& session, const KeyRequest& request) {
  const species::Library& library = session.library();
  std::optional<records::Piece> piece;
  if (request.piece != 0) piece = require_piece(session, request.piece);
  if (!piece) refuse_without_piece(request);
  key::Question question;
  question.experience = key::parse_experience(request.experience);
  question.most_next = static_cast<std::size_t>(std::max(0, request.most_next));
  std::vector<std::string> said;
  if (!request.name.empty()) question.name = library.require(request.name, &said).id;
  const std::string by = !request.by.empty() ? request.by : piece ? piece->finder : "";
  const auto readings = parse_all(session, request, by);
  if (piece) {
    keep(session, request, *piece, readings);
    piece = require_piece(session, request.piece);
    question.readings = records::current(piece->readings);
    if (question.name.empty()) question.name = piece->named;
  } else {
    question.readings = records::current(readings);
  }
  const KeyPlace place = key_place(session, request, piece ? &*piece : nullptr);
  if (!place.region.empty()) question.regions = library.parse_regions(place.region);
  question.prior = key_prior(session, request, place,
                             request.at ? request.at
                             : piece    ? piece->place
                                        : std::nullopt,
                             said);
  const key::Answer answer = session.key().answer(question);
  Json result = key_json(session, question, answer, piece ? &*piece : nullptr);
  if (!place.said.empty()) said.push_back(place.said + ": " + place.region);
  result["said"] = said;
  result["piece"] = piece ? Json(piece->id) : Json();
  Cautions cautions(caution::Place::candidates);
  add_cautions(cautions, result);
  return with_cautions(result, cautions.list());
}

Json characters(Session& session) {
  Json list = Json::array();
  for (const species::Character& row : session.library().characters()) {
    Json each = {{"id", row.id},
                 {"name", row.name},
                 {"group", row.evidence_group},
                 {"states", row.states},
                 {"minutes", row.minutes},
                 {"how", row.how},
                 {"action", row.action},
                 {"note", row.note},
                 {"needs", row.needs},
                 {"needs_states", row.needs_states}};
    each["limits"] =
        row.limits ? Json{{"min", row.limits->min}, {"max", row.limits->max}, {"unit", row.limits->unit}}
                   : Json();
    each["timed"] = row.timed;
    list.push_back(each);
  }
  Json regions = Json::array();
  for (const species::Region& each : session.library().regions())
    regions.push_back({{"code", each.code},
                       {"name", each.name},
                       {"dangers_covered", each.dangers_covered},
                       {"note", each.note}});
  return with_cautions({{"characters", list}, {"regions", regions}},
                       caution::cautions_for(caution::Place::candidates));
}

}  // namespace stumpwise::app
