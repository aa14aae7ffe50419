#include <algorithm>

#include "key_answer.h"
#include "key_keep.h"

namespace stumpwise::app {
namespace {

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
  std::vector<std::string> said;
  if (!request.name.empty()) question.name = library.require(request.name, &said).id;
  PieceChange change = piece_change(session, request,
                                    !request.by.empty() ? request.by
                                    : piece             ? piece->finder
                                                        : "");
  change.named = question.name;
  const KeyPlace place = key_place(session, request, piece ? &*piece : nullptr);
  if (!place.region.empty()) question.regions = library.parse_regions(place.region);
  const auto at = request.at ? request.at : piece ? piece->place : std::nullopt;
  KeyRequest dated = request;
  if (piece && !dated.date) dated.date = piece->date;
  question.prior = key_prior(session, dated, place, at, said);
  if (piece) {
    keep(session, *piece, change, said);
    piece = require_piece(session, request.piece);
    if (question.name.empty()) question.name = piece->named;
  }
  question.readings = records::current(piece ? piece->readings : change.readings);
  // Sums of numbers depend on their order in the last digit, and so would the lead of two equal names.
  std::sort(question.readings.begin(), question.readings.end(),
            [](const auto& a, const auto& b) { return a.character < b.character; });
  question.most_next = library.characters().size();  // the faces' number is kept in key_json
  const key::Answer answer = session.key().answer(question);
  Json result = key_json(session, question, answer, piece ? &*piece : nullptr,
                         static_cast<std::size_t>(std::max(0, request.most_next)));
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
