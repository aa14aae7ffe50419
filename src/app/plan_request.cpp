#include <fmt/format.h>

#include <set>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/text.h"

namespace stumpwise::app {

namespace {

LatLon place_from(const Json& json, const std::string& field) {
  if (!json.is_object() || !json.contains("lat") || !json.contains("lon") || !json["lat"].is_number() ||
      !json["lon"].is_number())
    throw Error(ErrorCode::bad_usage, field + ": needs numbers lat and lon");
  return {.lat_deg = json["lat"].get<double>(), .lon_deg = json["lon"].get<double>()};
}

template <class T>
void take(const Json& json, const char* field, T& value, const char* kind) {
  if (!json.contains(field) || json[field].is_null()) return;
  try {
    value = json[field].get<T>();
  } catch (const Json::exception&) {
    throw Error(ErrorCode::bad_usage, fmt::format("{}: must be {}", field, kind));
  }
}

}  // namespace

PlanRequest plan_request_from_json(const Json& json) {
  static const std::set<std::string> kKnown{"ground", "start", "end",         "hours",  "date",
                                            "depart", "days",  "buffer_min",  "factor", "species",
                                            "must",   "never", "alternatives"};
  if (!json.is_object()) throw Error(ErrorCode::bad_usage, "the request must be a JSON object");
  for (const auto& [key, value] : json.items())
    if (!kKnown.count(key))
      throw Error(ErrorCode::bad_usage, "unknown field \"" + base::printable(key) + "\"");
  if (!json.contains("start")) throw Error(ErrorCode::bad_usage, "start: is missing");
  PlanRequest request;
  request.start = place_from(json["start"], "start");
  if (json.contains("end") && !json["end"].is_null()) request.end = place_from(json["end"], "end");
  std::string date, depart;
  take(json, "ground", request.ground, "text");
  take(json, "hours", request.hours, "a number");
  take(json, "date", date, "text");
  take(json, "depart", depart, "text");
  take(json, "days", request.days, "a whole number");
  take(json, "buffer_min", request.buffer_min, "a number");
  take(json, "factor", request.factor, "a number");
  take(json, "species", request.species, "a list of names");
  take(json, "must", request.must, "a list of whole numbers");
  take(json, "never", request.never, "a list of whole numbers");
  take(json, "alternatives", request.alternatives, "a whole number");
  if (!date.empty()) request.date = base::require_date(date, "date");
  if (!depart.empty()) {
    request.depart_clock_min = base::parse_clock_min(depart);
    if (!request.depart_clock_min)
      throw Error(ErrorCode::bad_usage,
                  "depart: \"" + base::printable(depart) + "\" is no clock time (HH:MM)");
  }
  return request;
}

}  // namespace stumpwise::app
