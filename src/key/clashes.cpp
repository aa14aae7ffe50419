#include <fmt/format.h>

#include <algorithm>

#include "stumpwise/base/text.h"
#include "stumpwise/key/identify.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {
namespace {

bool allows(const species::Profile& profile, const Observation& reading) {
  const auto value = profile.characters.find(reading.character);
  return value == profile.characters.end() || !outside(reading, value->second);
}

std::string words(const species::Library& library, const Observation& reading) {
  const species::Character& row = *library.character(reading.character);
  std::string value = reading.low ? fmt::format("{:g}", *reading.low) : base::join(reading.states, " or ");
  if (reading.low && *reading.high != *reading.low) value += fmt::format(" to {:g}", *reading.high);
  if (reading.low && row.limits->unit != "1") value += " " + row.limits->unit;
  return fmt::format("{} {} ({})", row.name, value, reading.character);
}

}  // namespace

std::vector<Clash> clashes(const species::Library& library, const std::vector<Observation>& readings) {
  std::vector<Clash> list;
  std::vector<std::size_t> alone;
  auto anyone = [&](auto fits) {
    return std::any_of(library.profiles().begin(), library.profiles().end(), fits);
  };
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const species::Character& row = *library.character(readings[i].character);
    if (!applies(row, readings))
      list.push_back({{row.id, row.needs},
                      fmt::format("{} does not apply where {} was read as it is: check these two first",
                                  words(library, readings[i]), library.character(row.needs)->name)});
    if (anyone([&](const species::Profile& profile) { return allows(profile, readings[i]); })) continue;
    alone.push_back(i);
    list.push_back({{row.id}, "no profile has " + words(library, readings[i]) + ": check it first"});
  }
  for (std::size_t i = 0; i < readings.size(); ++i)
    for (std::size_t j = i + 1; j < readings.size(); ++j) {
      if (std::count(alone.begin(), alone.end(), i) || std::count(alone.begin(), alone.end(), j)) continue;
      if (anyone([&](const species::Profile& profile) {
            return allows(profile, readings[i]) && allows(profile, readings[j]);
          }))
        continue;
      list.push_back({{readings[i].character, readings[j].character},
                      fmt::format("no profile has {} with {}: check these two first",
                                  words(library, readings[i]), words(library, readings[j]))});
    }
  return list;
}

}  // namespace stumpwise::key
