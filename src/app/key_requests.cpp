#include <fmt/format.h>

#include <cstdint>
#include <set>

#include "json.h"
#include "stumpwise/app/key.h"
#include "stumpwise/base/text.h"

namespace stumpwise::app {
namespace {

/// One body of a request: every reader throws Error(bad_usage) naming the field and what it must be. Null is
/// as good as absent.
class Fields {
 public:
  Fields(const Json& json, const std::set<std::string>& known) : json_(json) {
    if (!json.is_object()) throw Error(ErrorCode::bad_usage, "the request must be a JSON object");
    for (const auto& [field, value] : json.items())
      if (!known.count(field))
        throw Error(ErrorCode::bad_usage, "unknown field \"" + base::printable(field) + "\"",
                    "Known are " + base::join({known.begin(), known.end()}, ", ") + ".");
  }

  void text(const char* field, std::string& target) const {
    if (!given(field)) return;
    if (!json_[field].is_string()) off(field, "a text");
    target = json_[field];
  }
  void texts(const char* field, std::vector<std::string>& target) const {
    if (!given(field)) return;
    if (!json_[field].is_array()) off(field, "a list of texts");
    for (const Json& each : json_[field]) {
      if (!each.is_string()) off(field, "a list of texts");
      target.push_back(each);
    }
  }
  void whole(const char* field, std::int64_t& target) const {
    if (!given(field)) return;
    if (!json_[field].is_number_integer()) off(field, "a whole number");
    target = json_[field];
  }
  void date(const char* field, std::optional<Date>& target) const {
    std::string said;
    text(field, said);
    if (!said.empty()) target = base::require_date(said, field);
  }
  void place(const char* field, std::optional<LatLon>& target) const {
    if (!given(field)) return;
    const Json& at = json_[field];
    if (!at.is_object() || !at.contains("lat") || !at.contains("lon") || !at["lat"].is_number() ||
        !at["lon"].is_number())
      off(field, "{\"lat\": degrees, \"lon\": degrees}");
    target = LatLon{at["lat"], at["lon"]};
    if (!valid(*target)) off(field, "latitude -90 to 90, longitude -180 to 180");
  }

 private:
  bool given(const char* field) const { return json_.contains(field) && !json_[field].is_null(); }
  [[noreturn]] static void off(const std::string& field, const std::string& kind) {
    throw Error(ErrorCode::bad_usage, "field \"" + field + "\" must be " + kind);
  }

  const Json& json_;
};

}  // namespace

KeyRequest key_request_from_json(const Json& json) {
  const Fields fields(json, {"region", "ground", "at", "date", "name", "seen", "taken_back", "begun",
                             "experience", "by", "piece"});
  KeyRequest request;
  fields.text("region", request.region);
  fields.text("ground", request.ground);
  fields.place("at", request.at);
  fields.date("date", request.date);
  fields.text("name", request.name);
  fields.texts("seen", request.seen);
  fields.texts("taken_back", request.taken_back);
  fields.texts("begun", request.begun);
  fields.text("experience", request.experience);
  fields.text("by", request.by);
  fields.whole("piece", request.piece);
  return request;
}

PieceAddRequest piece_add_request_from_json(const Json& json) {
  const Fields fields(json, {"finder", "name", "region", "note", "find", "date", "at", "pieces"});
  PieceAddRequest request;
  std::int64_t pieces = request.pieces;
  fields.text("finder", request.finder);
  fields.text("name", request.name);
  fields.text("region", request.region);
  fields.text("note", request.note);
  fields.whole("find", request.find);
  fields.date("date", request.date);
  fields.place("at", request.at);
  fields.whole("pieces", pieces);
  // One out of the range stays so: piece_add says what is allowed.
  request.pieces = pieces < 1 ? 0 : pieces > 1000 ? 1001 : static_cast<int>(pieces);
  return request;
}

ConfirmRequest confirm_request_from_json(const Json& json) {
  const Fields fields(json, {"by", "name", "from", "note"});
  ConfirmRequest request;
  fields.text("by", request.by);
  fields.text("name", request.name);
  fields.text("from", request.from);
  fields.text("note", request.note);
  return request;
}

}  // namespace stumpwise::app
