#pragma once
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "stumpwise/base/error.h"

namespace stumpwise::serve {

/// What goes back, before any HTTP library sees it.
struct Answer {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;
};

Answer json_answer(const nlohmann::json& json);
/// {"error":{"code","message","mend"}} (api/openapi.yaml).
Answer failure(int status, std::string code, std::string message, std::string mend);
/// The HTTP status that fits an error: the one place that knows both.
int http_status(ErrorCode code);
/// An error of an action. `hidden` (the folder of the book) is cut out of its words: the page needs no paths
/// of the machine.
Answer failure_of(const Error& error, const std::string& hidden);

}  // namespace stumpwise::serve
