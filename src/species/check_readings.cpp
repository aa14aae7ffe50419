#include "check_readings.h"

#include <algorithm>
#include <set>

#include "stumpwise/base/text.h"

namespace stumpwise::species {

namespace {

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

bool open_danger_pair(const Library& library, const Profile& name, const Pair& pair) {
  const Profile* danger = library.find(pair.with);
  const bool gathered = name.group == Group::edible || name.group == Group::conditional;
  return gathered && danger && danger->group == Group::dangerous && !pair.blocked && !pair.pending;
}

void check_open_pair(const Library& library, const Profile& name, const Pair& pair,
                     std::vector<Issue>& issues) {
  const std::string field = "pair." + pair.with;
  const auto line = name.lines.find(field);
  auto fault = [&](const std::string& text) {
    issues.push_back({Severity::fault, name.file, line == name.lines.end() ? 0 : line->second, field, text});
  };
  std::set<std::string> readers;
  for (const PairReading& reading : library.readings()) {
    if (reading.a != name.id || reading.b != pair.with) continue;
    readers.insert(reading.reader);
    if (reading.blocked) fault("is open, but " + reading.file + " leaves it blocked: " + reading.why);
    for (const std::string& id : pair.characters)
      if (!among(reading.characters, id)) fault(id + " is not named in " + reading.file);
  }
  if (readers.size() < 2)
    fault("is open after " + std::to_string(readers.size()) + " reading(s), two independent ones are needed");
}

void check_danger(const Library& library, const DangerReading& reading, std::vector<Issue>& issues) {
  const Profile* danger = library.find(reading.id);
  auto fault = [&](const std::string& field, const std::string& text) {
    issues.push_back({Severity::fault, reading.file, reading.line, reading.id + "." + field, text});
  };
  if (!danger) return fault("id", "has no profile");
  for (const auto& [id, second] : reading.characters) {
    const auto first = danger->characters.find(id);
    if (first == danger->characters.end()) continue;  // what is not recorded never contradicts
    if (second.range && first->second.range &&
        (second.range->min < first->second.range->min || second.range->max > first->second.range->max))
      fault(id, "is wider here than in " + danger->file);
    for (const std::string& state : second.states)
      if (!among(first->second.states, state)) fault(id, "\"" + state + "\" is missing in " + danger->file);
  }
}

}  // namespace

std::vector<Issue> check_readings(const Library& library) {
  std::vector<Issue> issues;
  for (const Profile& name : library.profiles())
    for (const Pair& pair : name.pairs)
      if (open_danger_pair(library, name, pair)) check_open_pair(library, name, pair, issues);
  for (const DangerReading& reading : library.danger_readings()) check_danger(library, reading, issues);
  return issues;
}

}  // namespace stumpwise::species
