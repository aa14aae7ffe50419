#include <fmt/format.h>

#include "key_answer.h"
#include "key_keep.h"
#include "stumpwise/base/text.h"

namespace stumpwise::app {
namespace {

Json piece_summary(Session& session, const records::Piece& piece) {
  const species::Profile* named = session.library().find(piece.named);
  return {
      {"id", piece.id},
      {"find", piece.find ? Json(piece.find) : Json()},
      {"finder", piece.finder},
      {"date", base::to_text(piece.date)},
      {"place", piece.place ? Json{{"lat", piece.place->lat_deg}, {"lon", piece.place->lon_deg}} : Json()},
      {"region", piece.region},
      {"named", named ? Json{{"id", named->id}, {"name", named->name()}} : Json()},
      {"name_as_recorded", piece.name_as_recorded},
      {"note", piece.note},
      {"readings", records::current(piece.readings).size()}};
}

Json confirmations_json(const records::Piece& piece) {
  Json list = Json::array();
  for (const auto& each : piece.confirmations)
    list.push_back({{"species", each.species},
                    {"by", each.by},
                    {"at", each.at},
                    {"in_hand", each.in_hand},
                    {"imported", each.imported},
                    {"counts", counts(each, piece)},
                    {"note", each.note}});
  return list;
}

/// Day, place and region of the find that a piece belongs to, where they are not said.
void take_from_find(Session& session, const PieceAddRequest& request, records::Piece& piece) {
  for (const auto& ground : session.book().grounds())
    for (const auto& find : session.book().finds(ground.name)) {
      if (find.id != request.find) continue;
      if (!request.date) piece.date = find.date;
      if (!request.at) piece.place = find.place;
      if (piece.region.empty() && !request.at) piece.region = ground.region;
      return;
    }
}

/// Why there is nothing to confirm.
[[noreturn]] void refuse_confirmation(const Json& answer, std::int64_t id) {
  constexpr std::size_t kMostNamed = 3;
  const Json& undefeated = answer["undefeated"];
  std::string why;
  for (std::size_t i = 0; i < undefeated.size() && i < kMostNamed; ++i)
    why += (i ? ", " : "") + undefeated[i]["id"].get<std::string>() + " " +
           undefeated[i]["name"].get<std::string>();
  if (undefeated.size() > kMostNamed) why += fmt::format(" and {} more", undefeated.size() - kMostNamed);
  if (!why.empty()) why = "it could still be " + why;
  for (const Json& each : answer["shut_by"]) why += (why.empty() ? "" : "; ") + each.get<std::string>();
  throw Error(ErrorCode::not_possible,
              fmt::format("piece {} is {}, so there is nothing to confirm: {}", id,
                          answer["standing"].get<std::string>(), why),
              fmt::format("stumpwise piece show {} says what is missing. Nothing lifts the gate.", id));
}

}  // namespace

Json piece_add(Session& session, const PieceAddRequest& request) {
  if (same_person(request.finder, ""))
    throw Error(
        ErrorCode::bad_usage, "who found it is missing",
        "Say --finder NAME: a finder cannot confirm his own piece, so the book must know who it was.");
  if (request.pieces < 1 || request.pieces > 1000)
    throw Error(ErrorCode::bad_usage, fmt::format("--pieces {}: 1 to 1000", request.pieces));
  std::vector<std::string> said;
  records::Piece piece;
  piece.finder = base::trim(request.finder);
  piece.find = request.find;
  piece.date = request.date.value_or(session.today());
  piece.place = request.at;
  piece.note = request.note;
  piece.name_as_recorded = request.name;
  if (!request.region.empty()) {
    session.library().parse_regions(request.region);
    piece.region = request.region;
  }
  if (request.find != 0) take_from_find(session, request, piece);
  if (!request.name.empty()) piece.named = session.library().require(request.name, &said).id;
  const auto ids =
      session.book().add_pieces(std::vector<records::Piece>(static_cast<std::size_t>(request.pieces), piece));
  if (key_place(session, {}, &piece).region.empty())
    said.push_back(
        "the region is not known, and without it the gate stays shut: say --region, or --at on a ground");
  Json list = Json::array();
  for (const auto id : ids) list.push_back(piece_summary(session, *session.book().piece(id)));
  return with_cautions({{"ids", ids}, {"pieces", list}, {"said", said}},
                       caution::cautions_for(caution::Place::candidates));
}

Json piece_list(Session& session) {
  Json list = Json::array();
  int confirmed = 0;
  for (const auto& piece : session.book().pieces()) {
    Json each = piece_summary(session, piece);
    KeyRequest request;
    request.piece = piece.id;
    request.most_next = 0;
    const Json answer = key(session, request);
    each["standing"] = answer["standing"];
    each["undefeated"] = answer["undefeated"].size();
    confirmed += answer["standing"] == "confirmed";
    list.push_back(each);
  }
  Cautions cautions(caution::Place::candidates);
  cautions.add("per-piece");
  return with_cautions({{"pieces", list}, {"confirmed", confirmed}, {"of", list.size()}}, cautions.list());
}

Json piece_show(Session& session, std::int64_t id) {
  KeyRequest request;
  request.piece = id;
  Json answer = key(session, request);
  const records::Piece piece = *session.book().piece(id);
  Json summary = piece_summary(session, piece);
  summary.erase("readings");
  answer["piece"] = summary;
  answer["history"] = readings_json(session.library(), piece.readings);
  answer["confirmations"] = confirmations_json(piece);
  Json waits = Json::array();
  for (const auto& wait : piece.waits)
    waits.push_back({{"character", wait.character},
                     {"started", wait.started},
                     {"due", wait.due},
                     {"done_at", wait.done_at.empty() ? Json() : Json(wait.done_at)}});
  answer["waits"] = waits;
  return answer;
}

Json piece_confirm(Session& session, const ConfirmRequest& request) {
  const records::Piece piece = require_piece(session, request.piece);
  if (same_person(request.by, ""))
    throw Error(ErrorCode::bad_usage, "who confirms is missing", "Say --by NAME.");
  if (same_person(request.by, piece.finder))
    throw Error(
        ErrorCode::not_possible,
        base::printable(request.by) + " found piece " + std::to_string(piece.id) + " and cannot confirm it",
        "Another competent person confirms it with the whole piece in hand.");
  if (request.from != "hand" && request.from != "photo" && request.from != "report")
    throw Error(ErrorCode::bad_usage, "--from " + base::printable(request.from), "hand, photo or report");
  KeyRequest ask;
  ask.piece = piece.id;
  std::vector<std::string> said;
  if (!request.name.empty()) ask.name = session.library().require(request.name, &said).id;
  if (!ask.name.empty() && !piece.named.empty() && ask.name != piece.named)
    throw Error(ErrorCode::not_possible,
                fmt::format("piece {} is named {} in the book, not {}", piece.id, piece.named, ask.name),
                "Ask the key about the other name first: stumpwise key --piece N --name S");
  ask.name.clear();
  const Json answer = key(session, ask);
  if (answer["name"].is_null())
    throw Error(ErrorCode::not_possible, fmt::format("piece {} has no name yet", piece.id),
                "Read its characters first.");
  const bool in_hand = request.from == "hand";
  if (in_hand && answer["standing"] != "doubles contradicted" && answer["standing"] != "confirmed")
    refuse_confirmation(answer, piece.id);
  records::Confirmation word;
  word.species = answer["name"]["id"];
  word.by = base::trim(request.by);
  word.at = now_text();
  word.in_hand = in_hand;
  word.note = request.note;
  session.book().add_confirmation(piece.id, word);
  Json result = piece_show(session, piece.id);
  if (!in_hand) said.push_back("kept; a word from a " + request.from + " opens nothing");
  for (const std::string& each : said) result["said"].push_back(each);
  return result;
}

}  // namespace stumpwise::app
