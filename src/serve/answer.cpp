#include "answer.h"

namespace stumpwise::serve {
namespace {

std::string without(std::string text, const std::string& hidden) {
  if (hidden.size() < 2) return text;
  for (std::size_t at = text.find(hidden); at != std::string::npos; at = text.find(hidden, at))
    text.erase(at, hidden.size());
  return text;
}

}  // namespace

Answer json_answer(const nlohmann::json& json) {
  return {200, "application/json", json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace), {}};
}

Answer failure(int status, std::string code, std::string message, std::string mend) {
  const nlohmann::json error = {
      {"code", std::move(code)}, {"message", std::move(message)}, {"mend", std::move(mend)}};
  Answer answer = json_answer({{"error", error}});
  answer.status = status;
  return answer;
}

int http_status(ErrorCode code) {
  switch (code) {
    case ErrorCode::bad_usage:
      return 400;
    case ErrorCode::not_found:
      return 404;
    case ErrorCode::no_data:
      return 409;
    case ErrorCode::bad_value:
    case ErrorCode::no_overlap:
    case ErrorCode::not_possible:
      return 422;
    case ErrorCode::cancelled:
      return 503;
    case ErrorCode::unreadable:
    case ErrorCode::bad_format:
    case ErrorCode::stale_version:
    case ErrorCode::store_failed:
    case ErrorCode::internal:
      break;
  }
  return 500;
}

Answer failure_of(const Error& error, const std::string& hidden) {
  return failure(http_status(error.code()), std::string(base::code_name(error.code())),
                 without(error.what(), hidden), without(error.mend(), hidden));
}

}  // namespace stumpwise::serve
