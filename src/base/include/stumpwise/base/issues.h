#pragma once
#include <string>
#include <utility>
#include <vector>

#include "stumpwise/base/error.h"

namespace stumpwise::base {

enum class Severity { note, warning, fault };

/// One thing found in a file from outside. `line` is 1-based, 0 where a line means nothing (a raster).
struct Issue {
  Severity severity = Severity::fault;
  std::string file;
  int line = 0;
  std::string field;
  std::string text;  ///< what is wrong: the value, the allowed range, the mend
};

/// "file:line: field: text", without the parts that are empty.
std::string to_text(const Issue& issue);
/// All issues, a line each.
std::string to_text(const std::vector<Issue>& issues);
bool has_fault(const std::vector<Issue>& issues);

/// A value read from outside with everything that was found on the way, so that a user sees all faults at
/// once.
template <class T>
struct Parsed {
  T value{};
  std::vector<Issue> issues;
  bool ok() const { return !has_fault(issues); }
};

/// Throws Error(bad_format) listing every fault (at most 50 lines, the rest counted) if there is one.
void throw_on_fault(const std::string& what, const std::vector<Issue>& issues);

template <class T>
T value_or_throw(Parsed<T>&& parsed, const std::string& what) {
  throw_on_fault(what, parsed.issues);
  return std::move(parsed.value);
}

}  // namespace stumpwise::base

namespace stumpwise {
using base::Issue;
using base::Parsed;
using base::Severity;
}  // namespace stumpwise
