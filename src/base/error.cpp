#include "stumpwise/base/error.h"

#include <array>

namespace stumpwise::base {
namespace {

struct Row {
  ErrorCode code;
  std::string_view name;
  int exit_status;
};

constexpr std::array kTable{
    Row{ErrorCode::bad_usage, "bad_usage", 2},
    Row{ErrorCode::bad_value, "bad_value", 2},
    Row{ErrorCode::not_found, "not_found", 1},
    Row{ErrorCode::unreadable, "unreadable", 1},
    Row{ErrorCode::bad_format, "bad_format", 1},
    Row{ErrorCode::no_overlap, "no_overlap", 1},
    Row{ErrorCode::no_data, "no_data", 1},
    Row{ErrorCode::not_possible, "not_possible", 1},
    Row{ErrorCode::stale_version, "stale_version", 1},
    Row{ErrorCode::store_failed, "store_failed", 1},
    Row{ErrorCode::cancelled, "cancelled", 1},
    Row{ErrorCode::internal, "internal", 1},
};

const Row& row(ErrorCode code) {
  for (const Row& candidate : kTable)
    if (candidate.code == code) return candidate;
  return kTable.back();
}

}  // namespace

std::string_view code_name(ErrorCode code) {
  return row(code).name;
}

int exit_status(ErrorCode code) {
  return row(code).exit_status;
}

Error::Error(ErrorCode code, std::string message, std::string mend)
    : std::runtime_error(std::move(message)), code_(code), mend_(std::move(mend)) {}

std::string Error::full_text() const {
  std::string text = what();
  if (!mend_.empty()) text += "\n  " + mend_;
  return text;
}

}  // namespace stumpwise::base
