#pragma once
#include <stdexcept>
#include <string>
#include <string_view>

namespace stumpwise::base {

/// Every way in which work can stop, one row each in error.cpp: a stable text id and the exit status of the
/// command.
enum class ErrorCode {
  bad_usage,      // the words of the command or request are off
  bad_value,      // a value is outside its range
  not_found,      // no such record, file, species, ground
  unreadable,     // a file cannot be opened or is truncated
  bad_format,     // a file is readable but says something impossible
  no_overlap,     // two layers share no land
  no_data,        // the answer needs data that the book does not hold
  not_possible,   // asked for something that no plan can meet
  stale_version,  // the book or a file is from a newer program
  store_failed,   // the book could not be written
  cancelled,      // Ctrl-C
  internal,       // a fault of the program
};

/// Stable text id, for example "bad_value".
std::string_view code_name(ErrorCode code);

/// Exit status of the command: 1 the work failed, 2 bad usage (design.md section 6).
int exit_status(ErrorCode code);

/// Work cannot go on. `what()` says what is wrong with the value and the allowed range; `mend()` says how to
/// put it right (may be empty). Caught once in the command line and once per request in the server.
class Error : public std::runtime_error {
 public:
  Error(ErrorCode code, std::string message, std::string mend = {});
  ErrorCode code() const { return code_; }
  const std::string& mend() const { return mend_; }
  /// Message and mend on one or two lines, as a person reads them.
  std::string full_text() const;

 private:
  ErrorCode code_;
  std::string mend_;
};

}  // namespace stumpwise::base

namespace stumpwise {
using base::Error;
using base::ErrorCode;
}  // namespace stumpwise
