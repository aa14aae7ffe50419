#include "stumpwise/key/observation.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "stumpwise/base/text.h"
#include "stumpwise/base/units.h"

namespace stumpwise::key {
namespace {

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

/// Factors to the unit of the vocabulary; the first of each is that unit itself.
const std::map<std::string, std::map<std::string, double>> kUnits = {
    {"mm",
     {{"mm", 1},
      {"cm", 10},
      {"m", 1000},
      {"in", base::kMillimetresPerInch},
      {"inch", base::kMillimetresPerInch},
      {"\"", base::kMillimetresPerInch}}},
    {"um", {{"um", 1}, {"µm", 1}, {"μm", 1}, {"micron", 1}, {"microns", 1}, {"mm", 1000}, {"nm", 0.001}}},
    {"/mm", {{"/mm", 1}, {"/cm", 0.1}}},
    {"/cm", {{"/cm", 1}, {"/mm", 10}, {"/in", 1 / 2.54}}},
    {"s", {{"s", 1}, {"sec", 1}, {"min", 60}}},
    {"d", {{"d", 1}}},
    {"1", {{"", 1}}},
};

[[noreturn]] void refuse(const std::string& what, const std::string& mend) {
  throw Error(ErrorCode::bad_value, what, mend);
}

const species::Character& character_of(const species::Library& library, const std::string& id) {
  std::vector<std::string> ids, parts;
  for (const species::Character& row : library.characters()) {
    if (base::lower(row.id) == base::lower(id)) return row;
    ids.push_back(row.id);
    if (base::lower(row.part_of) == base::lower(id)) parts.push_back(row.id);
  }
  if (!parts.empty())
    refuse("character " + base::printable(id) + " is read in parts",
           "Give one of " + base::join(parts, ", ") + ".");
  const auto near = base::nearest(id, ids, 3);
  refuse("\"" + base::printable(id) + "\" is no character",
         (near.empty() ? "Characters are C01 to " + ids.back() : "Perhaps " + base::join(near, ", ")) +
             "; profiles/characters.toml lists them.");
}

/// A number given for a character of words goes to its count: C06=40/cm is C06.count.
const species::Character& counted(const species::Library& library, const species::Character& row,
                                  const std::string& value) {
  const std::string_view text = base::trim(value);
  const species::Character* count = library.character(row.id + ".count");
  return !row.limits && count && !text.empty() && text.front() >= '0' && text.front() <= '9' ? *count : row;
}

/// "5 cm" or "4-6 cm" in the vocabulary's unit.
void read_number(const species::Character& row, std::string text, Observation& reading) {
  const std::string& unit = row.limits->unit;
  const std::string said = text;
  auto is_number = [](char c) {
    return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == ' ' || c == '+';
  };
  std::size_t end = 0;
  while (end < text.size() && is_number(text[end])) ++end;
  const std::string given(base::trim(text.substr(end))), numbers(base::trim(text.substr(0, end)));
  const auto& factors = kUnits.at(unit);
  const auto known_unit = factors.find(base::lower(given));
  const bool unit_fits = given.empty() || known_unit != factors.end();
  const double factor = known_unit != factors.end() ? known_unit->second : 1;
  std::vector<std::string> ends = base::split(numbers, '-');
  const auto low = base::parse_number(base::trim(ends.front())),
             high = base::parse_number(base::trim(ends.back()));
  if (!unit_fits || !low || !high || ends.size() > 2 || *low > *high) {
    std::vector<std::string> known;
    for (const auto& [name, value] : factors)
      if (!name.empty()) known.push_back(name);
    refuse(
        fmt::format("{} ({}): \"{}\" is no number with a unit", row.id, row.name, base::printable(said)),
        known.empty() ? "Write a bare number, for example 1.6." : "Units: " + base::join(known, ", ") + ".");
  }
  reading.low = *low * factor, reading.high = *high * factor;
  if (*reading.low < row.limits->min || *reading.high > row.limits->max)
    refuse(
        fmt::format("{} ({}): {} {} is outside {:g} to {:g} {}", row.id, row.name, base::printable(numbers),
                    given.empty() ? unit : given, row.limits->min, row.limits->max, unit),
        "Check the unit and the count.");
}

void read_states(const species::Character& row, const std::string& text, Observation& reading) {
  for (const std::string& part : base::split(text, '|')) {
    const std::string state = base::lower(base::trim(part));
    if (!among(row.states, state)) {
      const auto near = base::nearest(state, row.states, 1);
      refuse(fmt::format("{} ({}): \"{}\" is no state{}", row.id, row.name, base::printable(part),
                         near.empty() ? "" : "; perhaps " + near.front()),
             "States: " + base::join(row.states, ", ") + ".");
    }
    if (!among(reading.states, state)) reading.states.push_back(state);
  }
}

void read_how(const std::string& word, Observation& reading) {
  const std::string how = base::lower(base::trim(word));
  if (how == "dug")
    reading.dug = true;
  else if (how == "cut")
    reading.cut = true;
  else if (how == "micro")
    reading.micro = true;
  else if (const auto seconds =
               base::parse_number(!how.empty() && how.back() == 's' ? how.substr(0, how.size() - 1) : how);
           seconds && *seconds >= 0 && *seconds <= 86400)
    reading.watched_s = *seconds;
  else
    refuse("\"@" + base::printable(word) + "\" does not say how it was read",
           "After @ stands dug, cut, micro or the seconds watched, 0 to 86400.");
}

}  // namespace

std::string experience_name(Experience experience) {
  return experience == Experience::novice    ? "novice"
         : experience == Experience::trained ? "trained"
                                             : "expert";
}

Experience parse_experience(const std::string& text) {
  for (Experience each : {Experience::novice, Experience::trained, Experience::expert})
    if (experience_name(each) == base::lower(text)) return each;
  throw Error(ErrorCode::bad_usage, "experience \"" + base::printable(text) + "\" is not known",
              "Write novice, trained or expert.");
}

Observation parse_observation(const species::Library& library, const std::string& text) {
  const auto equals = text.find('=');
  if (equals == std::string::npos || equals == 0)
    refuse("\"" + base::printable(text) + "\" is no reading",
           "Write CHARACTER=STATE, as in C20=one-hollow@cut.");
  std::vector<std::string> parts = base::split(text.substr(equals + 1), '@');
  const species::Character& row =
      counted(library, character_of(library, std::string(base::trim(text.substr(0, equals)))), parts.front());
  Observation reading;
  reading.character = row.id;
  if (base::trim(parts.front()).empty())
    refuse(row.id + " (" + row.name + ") has no value",
           row.limits ? "Write a number with its unit." : "States: " + base::join(row.states, ", ") + ".");
  if (row.limits)
    read_number(row, parts.front(), reading);
  else
    read_states(row, parts.front(), reading);
  for (std::size_t i = 1; i < parts.size(); ++i) read_how(parts[i], reading);
  return reading;
}

std::string to_text(const Observation& reading) {
  std::string text = reading.character + "=";
  if (reading.low)
    text += *reading.low == *reading.high ? fmt::format("{:g}", *reading.low)
                                          : fmt::format("{:g}-{:g}", *reading.low, *reading.high);
  else
    text += base::join(reading.states, "|");
  if (reading.dug) text += "@dug";
  if (reading.cut) text += "@cut";
  if (reading.micro) text += "@micro";
  if (reading.watched_s) text += fmt::format("@{:g}", *reading.watched_s);
  return text;
}

bool outside(const Observation& reading, const species::CharacterValue& value) {
  if (reading.low)
    return value.range && (*reading.high < value.range->min || *reading.low > value.range->max);
  if (value.states.empty() || reading.states.empty()) return false;
  return std::none_of(reading.states.begin(), reading.states.end(),
                      [&](const std::string& state) { return among(value.states, state); });
}

bool within(const Observation& reading, const species::CharacterValue& value) {
  if (reading.low)
    return value.range && *reading.low >= value.range->min && *reading.high <= value.range->max;
  return !reading.states.empty() &&
         std::all_of(reading.states.begin(), reading.states.end(),
                     [&](const std::string& state) { return among(value.states, state); });
}

bool unsure(const Observation& reading) {
  return reading.states.size() > 1 || (reading.low && *reading.low != *reading.high);
}

double misread_rate(const species::Character& row, const Observation& reading, Experience experience) {
  double rate = row.misread;
  if (reading.dug && row.misread_dug > 0) rate = row.misread_dug;
  if (row.id == "C38" && !reading.dug && !reading.cut) rate = std::max(rate, 0.30);
  if (experience == Experience::novice) return std::min(2 * rate, 0.4);
  return experience == Experience::expert ? rate / 2 : rate;
}

}  // namespace stumpwise::key
