#include "stumpwise/base/issues.h"

#include <algorithm>

namespace stumpwise::base {

std::string to_text(const Issue& issue) {
  std::string text;
  if (!issue.file.empty()) {
    text += issue.file;
    if (issue.line > 0) text += ":" + std::to_string(issue.line);
    text += ": ";
  }
  if (!issue.field.empty()) text += issue.field + ": ";
  return text + issue.text;
}

std::string to_text(const std::vector<Issue>& issues) {
  std::string text;
  for (const Issue& issue : issues) text += to_text(issue) + "\n";
  return text;
}

bool has_fault(const std::vector<Issue>& issues) {
  return std::any_of(issues.begin(), issues.end(),
                     [](const Issue& i) { return i.severity == Severity::fault; });
}

void throw_on_fault(const std::string& what, const std::vector<Issue>& issues) {
  if (!has_fault(issues)) return;
  constexpr std::size_t kMostLines = 50;
  std::string text;
  std::size_t faults = 0;
  for (const Issue& issue : issues) {
    if (issue.severity != Severity::fault) continue;
    if (++faults <= kMostLines) text += "\n  " + to_text(issue);
  }
  if (faults > kMostLines) text += "\n  ... and " + std::to_string(faults - kMostLines) + " more";
  throw Error(ErrorCode::bad_format,
              what + ": " + std::to_string(faults) + (faults == 1 ? " fault" : " faults") + text,
              "Nothing was stored. Mend the lines above and give the file again.");
}

}  // namespace stumpwise::base
