#pragma once
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/caution/caution.h"

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

/// A result with the cautions that must stand with it: an answer of this layer cannot be made without them.
inline Json with_cautions(Json result, const std::vector<caution::Caution>& cautions) {
  result["cautions"] = to_json(cautions);
  return result;
}

}  // namespace stumpwise::app
