#include "key_answer.h"

#include <fmt/format.h>

#include <algorithm>

#include "stumpwise/base/text.h"

namespace stumpwise::app {
namespace {

/// Case, blanks of any kind and what no one can see make no other person.
std::string folded(const std::string& name) {
  static const std::vector<std::string> kBlanks{"\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x87", "\xE3\x80\x80"},
      kUnseen{"\xE2\x80\x8B", "\xE2\x80\x8C", "\xE2\x80\x8D", "\xE2\x81\xA0", "\xEF\xBB\xBF", "\xC2\xAD"};
  std::string text;
  for (std::size_t i = 0; i < name.size(); ++i) {
    auto stands = [&](const std::string& bytes) { return name.compare(i, bytes.size(), bytes) == 0; };
    const auto blank = std::find_if(kBlanks.begin(), kBlanks.end(), stands);
    const auto unseen = std::find_if(kUnseen.begin(), kUnseen.end(), stands);
    if (unseen != kUnseen.end()) {
      i += unseen->size() - 1;
    } else if (blank != kBlanks.end() || name[i] == ' ' || (name[i] >= '\t' && name[i] <= '\r')) {
      if (!text.empty() && text.back() != ' ') text += ' ';
      if (blank != kBlanks.end()) i += blank->size() - 1;
    } else if (static_cast<unsigned char>(name[i]) > ' ' && name[i] != '\x7f') {
      text += name[i];
    }
  }
  return base::lower(base::trim(text));
}

Json verdict_json(const species::Library& library, const key::DangerVerdict& verdict) {
  const species::Profile* danger = library.find(verdict.id);
  const std::string syndrome = danger && danger->danger ? danger->danger->syndrome : "";
  const species::Syndrome* in_words = library.syndrome(syndrome);
  return {{"id", verdict.id},
          {"name", verdict.name},
          {"vernacular", danger ? danger->vernacular() : ""},
          {"syndrome", syndrome},
          {"syndrome_name", in_words ? in_words->name : ""},
          {"deadly", key::deadly(library, verdict.id)},
          {"severity", danger && danger->danger ? danger->danger->severity : ""},
          {"missing", verdict.missing},
          {"llr", rounded(verdict.llr, 2)},
          {"listed", verdict.listed},
          {"blocked", verdict.blocked},
          {"contradicted_by", verdict.contradicted_by},
          {"groups", verdict.groups},
          {"against", verdict.against},
          {"reasons", verdict.reasons}};
}

Json must_see_json(const species::Library& library, const species::Profile& name,
                   const key::GateResult& gate) {
  Json list = Json::array();
  auto among = [](const std::vector<std::string>& ids, const std::string& id) {
    return std::find(ids.begin(), ids.end(), id) != ids.end();
  };
  for (const std::string& id : name.must_see) {
    const species::Character* row = library.character(id);
    list.push_back({{"character", id},
                    {"name", row ? row->name : id},
                    {"state", among(gate.must_see_missing, id)    ? "not observed"
                              : among(gate.must_see_contrary, id) ? "not as the name has it"
                                                                  : "as the name has it"}});
  }
  return list;
}

/// The first `most`, and what must be seen for the name however far down it stands: a print takes a night.
Json next_json(const std::vector<key::Advice>& next, std::size_t most) {
  Json list = Json::array();
  if (most == 0) return list;
  std::size_t place = 0;
  for (const key::Advice& each : next) {
    if (++place > most && !each.must_see) continue;
    list.push_back({{"character", each.character},
                    {"name", each.name},
                    {"minutes", each.minutes},
                    {"settles", each.settles},
                    {"speaks_against", each.speaks_against},
                    {"must_see", each.must_see},
                    {"loss_drop", rounded(each.loss_drop, 3)},
                    {"action", each.action},
                    {"why", each.why}});
  }
  return list;
}

Json names_json(const species::Library& library, const std::vector<key::NamedShare>& names) {
  constexpr std::size_t kMostNames = 12;
  Json list = Json::array();
  for (const key::NamedShare& each : names) {
    if (list.size() == kMostNames) break;
    const species::Profile* profile = library.find(each.id);
    list.push_back({{"id", each.id},
                    {"name", each.name},
                    {"vernacular", profile->vernacular()},
                    {"dangerous", profile->group == species::Group::dangerous},
                    {"posterior", rounded(each.posterior, 4)}});
  }
  return list;
}

}  // namespace

bool same_person(const std::string& a, const std::string& b) {
  return folded(a) == folded(b);
}

bool counts(const records::Confirmation& word, const records::Piece& piece) {
  return word.in_hand && !word.imported && !same_person(word.by, piece.finder);
}

const records::Confirmation* counting_confirmation(const records::Piece& piece, const std::string& species) {
  for (const records::Confirmation& each : piece.confirmations)
    if (each.species == species && counts(each, piece)) return &each;
  return nullptr;
}

Json readings_json(const species::Library& library, const std::vector<key::Observation>& readings) {
  Json list = Json::array();
  auto number = [](const std::optional<double>& value) { return value ? Json(*value) : Json(); };
  for (const key::Observation& each : readings) {
    const species::Character* row = library.character(each.character);
    list.push_back({{"character", each.character},
                    {"name", row ? row->name : each.character},
                    {"text", key::to_text(each)},
                    {"states", each.states},
                    {"low", number(each.low)},
                    {"high", number(each.high)},
                    {"unit", row && row->limits ? Json(row->limits->unit) : Json()},
                    {"unsure", key::unsure(each)},
                    {"by", each.by},
                    {"at", each.at},
                    {"withdrawn_at", each.withdrawn_at.empty() ? Json() : Json(each.withdrawn_at)}});
  }
  return list;
}

Json key_json(Session& session, const key::Question& question, const key::Answer& answer,
              const records::Piece* piece, std::size_t most_next) {
  const species::Library& library = session.library();
  const species::Profile* name = library.find(answer.name);
  Json undefeated = Json::array(), defeated = Json::array(), clashes = Json::array();
  for (const auto& verdict : answer.gate.undefeated) undefeated.push_back(verdict_json(library, verdict));
  for (const auto& verdict : answer.gate.defeated)
    defeated.push_back({{"id", verdict.id},
                        {"name", verdict.name},
                        {"contradicted_by", verdict.contradicted_by},
                        {"llr", rounded(verdict.llr, 2)}});
  for (const auto& clash : answer.clashes)
    clashes.push_back({{"characters", clash.characters}, {"text", clash.text}});
  std::string standing = key::standing_name(answer.standing);
  Json result = {
      {"undefeated", undefeated},
      {"names", names_json(library, answer.names)},
      {"none_of_these", rounded(answer.none_of_these, 4)},
      {"next", next_json(answer.next, most_next)},
      {"name",
       name ? Json{{"id", name->id}, {"name", name->name()}, {"vernacular", name->vernacular()}} : Json()},
      {"must_see", name ? must_see_json(library, *name, answer.gate) : Json::array()},
      {"shut_by", answer.gate.reasons},
      {"defeated", defeated},
      {"clashes", clashes},
      {"readings", readings_json(library, question.readings)},
      {"regions", question.regions},
                 {"covered", answer.gate.covered},
      {"threshold", key::kGateThreshold}};
  const records::Confirmation* word =
      piece && answer.gate.open ? counting_confirmation(*piece, answer.name) : nullptr;
  if (word) {
    standing = "confirmed";
    result["confirmed_by"] = word->by;
    result["confirmed_at"] = word->at;
  }
  result["standing"] = standing;
  return result;
}

}  // namespace stumpwise::app
