#include <fmt/format.h>

#include <algorithm>

#include "json.h"
#include "stumpwise/app/key.h"
#include "stumpwise/base/text.h"
#include "stumpwise/key/chooser.h"
#include "stumpwise/key/gate.h"
#include "stumpwise/key/posterior.h"

namespace stumpwise::app {
namespace {

std::size_t character_of(const key::Matrix& matrix, const std::string& id) {
  std::vector<std::string> ids;
  for (std::size_t c = 0; c < matrix.characters.size(); ++c) {
    if (base::lower(matrix.characters[c].id) == base::lower(base::trim(id))) return c;
    ids.push_back(matrix.characters[c].id);
  }
  throw Error(ErrorCode::bad_value, "\"" + base::printable(id) + "\" is no character of the matrix",
              "Its characters: " + base::join(ids, ", ") + ".");
}

key::Evidence reading_of(const key::Matrix& matrix, const std::string& text) {
  const auto equals = text.find('=');
  if (equals == std::string::npos)
    throw Error(ErrorCode::bad_value, "\"" + base::printable(text) + "\" is no reading",
                "Write CHARACTER=STATE.");
  key::Evidence reading;
  reading.character = character_of(matrix, text.substr(0, equals));
  const key::KeyCharacter& character = matrix.characters[reading.character];
  reading.misread = character.misread;
  const std::string value = text.substr(equals + 1);
  if (character.numeric()) {
    const auto number = base::parse_number(base::trim(value));
    if (!number || *number < 0 || *number > 10 * character.range)
      throw Error(ErrorCode::bad_value,
                  fmt::format("{}: \"{}\" is no number from 0", character.id, base::printable(value)),
                  "In the unit of the matrix, without its name.");
    reading.value = *number;
    return reading;
  }
  for (const std::string& part : base::split(value, '|')) {
    const auto state = std::find(character.states.begin(), character.states.end(), base::trim(part));
    if (state == character.states.end())
      throw Error(ErrorCode::bad_value,
                  fmt::format("{}: \"{}\" is no state", character.id, base::printable(part)),
                  "States: " + base::join(character.states, ", ") + ".");
    reading.states |= key::States{1} << (state - character.states.begin());
  }
  return reading;
}

/// Rule G6 alone, for such a matrix names neither pairs nor must-sees: dangers that the readings do not put T
/// behind the likeliest harmless taxon.
Json undefeated_json(const key::Matrix& matrix, const std::vector<double>& log_likelihood, std::size_t lead) {
  Json list = Json::array();
  for (std::size_t t = 0; t < matrix.taxa.size(); ++t) {
    const double llr = log_likelihood[lead] - log_likelihood[t];
    if (matrix.taxa[t].dangerous && llr < key::kGateThreshold)
      list.push_back({{"id", matrix.taxa[t].id},
                      {"name", matrix.taxa[t].name},
                      {"missing", Json::array()},
                      {"llr", rounded(llr, 2)}});
  }
  std::stable_sort(list.begin(), list.end(),
                   [](const Json& a, const Json& b) { return a["llr"] < b["llr"]; });
  return list;
}

Json names_json(const key::Matrix& matrix, const std::vector<double>& share) {
  std::vector<std::size_t> order(matrix.taxa.size());
  for (std::size_t t = 0; t < order.size(); ++t) order[t] = t;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return share[a] > share[b]; });
  order.resize(std::min<std::size_t>(order.size(), 12));
  Json list = Json::array();
  for (std::size_t t : order)
    list.push_back({{"id", matrix.taxa[t].id},
                    {"name", matrix.taxa[t].name},
                    {"dangerous", matrix.taxa[t].dangerous},
                    {"posterior", rounded(share[t], 4)}});
  return list;
}

Json next_json(const key::Matrix& matrix, const std::vector<double>& share,
               const std::vector<key::Evidence>& readings, int most) {
  std::vector<bool> asked(matrix.characters.size());
  for (const auto& reading : readings) asked[reading.character] = true;
  const auto gains = key::Chooser(matrix).gains(share, asked);
  Json list = Json::array();
  for (std::size_t c = 0; c < gains.size(); ++c) {
    const double drop = gains[c].names + key::kDangerWeight * gains[c].danger;
    if (!asked[c])
      list.push_back({{"character", matrix.characters[c].id},
                      {"name", ""},
                      {"minutes", matrix.characters[c].minutes},
                      {"settles", 0},
                      {"loss_drop", rounded(drop, 3)},
                      {"why", "would part the names"}});
  }
  std::stable_sort(list.begin(), list.end(),
                   [](const Json& a, const Json& b) { return a["loss_drop"] > b["loss_drop"]; });
  if (list.size() > static_cast<std::size_t>(std::max(0, most))) list.erase(list.begin() + most, list.end());
  return list;
}

}  // namespace

Json matrix_key(const MatrixKeyRequest& request) {
  const key::Matrix matrix =
      base::value_or_throw(key::read_matrix(request.matrix, request.groups), request.matrix);
  std::vector<key::Evidence> readings;
  for (const std::string& text : request.seen) {
    const key::Evidence reading = reading_of(matrix, text);
    std::erase_if(readings, [&](const key::Evidence& other) { return other.character == reading.character; });
    readings.push_back(reading);
  }
  const auto log_likelihood = key::log_likelihoods(matrix, readings, key::Grouping::capped);
  const auto share =
      key::posterior(std::vector<double>(matrix.taxa.size(), 1), key::kNoneMass, log_likelihood);
  std::size_t lead = matrix.taxa.size();
  for (std::size_t t = 0; t < matrix.taxa.size(); ++t)
    if (!matrix.taxa[t].dangerous && (lead == matrix.taxa.size() || share[t] > share[lead])) lead = t;
  if (lead == matrix.taxa.size()) throw Error(ErrorCode::no_data, "the matrix holds no harmless taxon");
  Cautions cautions(caution::Place::candidates);
  return with_cautions({{"standing", "unresolved"},
                        {"name", {{"id", matrix.taxa[lead].id}, {"name", matrix.taxa[lead].name}}},
                        {"undefeated", undefeated_json(matrix, log_likelihood, lead)},
                        {"names", names_json(matrix, share)},
                        {"none_of_these", rounded(share.back(), 4)},
                        {"next", next_json(matrix, share, readings, request.most_next)},
                        {"shut_by",
                         {"a matrix from elsewhere names neither pairs nor characters that must be seen: "
                          "nothing of it rises above unresolved (G2, G7)"}},
                        {"said",
                         {fmt::format("{} taxa and {} characters of {}", matrix.taxa.size(),
                                      matrix.characters.size(), request.matrix)}}},
                       cautions.list());
}

}  // namespace stumpwise::app
