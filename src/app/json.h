#pragma once
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/caution/caution.h"
#include "stumpwise/records/records.h"
#include "stumpwise/season/index.h"

namespace stumpwise::app {

using Json = nlohmann::json;

/// A number rounded to `digits` decimals, so that the same answer is the same text on every face.
inline Json rounded(double value, int digits) {
  if (!std::isfinite(value)) return nullptr;
  const double scale = std::pow(10.0, digits);
  const double result = std::round(value * scale) / scale;
  return result == 0 ? 0.0 : result;
}

inline Json to_json(const std::vector<caution::Caution>& cautions) {
  Json list = Json::array();
  for (const caution::Caution& each : cautions) list.push_back({{"id", each.id}, {"text", each.text}});
  return list;
}

inline Json to_json(const std::vector<base::Issue>& issues) {
  Json list = Json::array();
  for (const base::Issue& issue : issues) list.push_back(base::to_text(issue));
  return list;
}

/// What the weather of a day rests on, as other programs read it.
inline std::string basis_code(season::Basis basis) {
  return basis == season::Basis::ensemble ? "ensemble" : season::basis_name(basis);
}

/// Cautions of an answer: those of its places, then those that its circumstances add, each once.
class Cautions {
 public:
  explicit Cautions(caution::Place place) { add(place); }
  void add(caution::Place place) {
    for (const caution::Caution& each : caution::cautions_for(place)) add(each.id);
  }
  void add(std::string_view id) {
    for (const caution::Caution& there : list_)
      if (there.id == id) return;
    list_.push_back(caution::by_id(id));
  }
  void add_for(const records::GroundRecord& ground, bool far_station, bool weather_gap) {
    if (ground.invented) add("invented-data");
    if (far_station) add("far-station");
    if (weather_gap) add("weather-gap");
  }
  const std::vector<caution::Caution>& list() const { return list_; }

 private:
  std::vector<caution::Caution> list_;
};

/// A result with the cautions that must stand with it: an answer of this layer cannot be made without them.
inline Json with_cautions(Json result, const std::vector<caution::Caution>& cautions) {
  result["cautions"] = to_json(cautions);
  return result;
}

}  // namespace stumpwise::app
