#include "stumpwise/key/specimen.h"

#include <algorithm>

#include "stumpwise/key/gate.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {
namespace {

/// How every character is read here.
Observation carefully(const std::string& id) {
  Observation reading;
  reading.character = id;
  reading.dug = reading.cut = reading.micro = true;
  reading.watched_s = 300;
  return reading;
}

Observation in_its_prime() {
  Observation reading = carefully("C44");
  reading.states = {"prime"};
  return reading;
}

bool of_the_fungus(const std::string& id) {
  return id != "C44" && id != "C45" && id != "C30";
}

void draw_number(const species::Character& row, const species::NumericRange& range, bool wrong,
                 base::Random& random, Observation& reading) {
  const double middle = 0.5 * (range.usual_min + range.usual_max);
  const double sd = std::max((range.usual_max - range.usual_min) / 4, 0.05 * middle);
  const double value = wrong ? random.uniform(row.limits->min, row.limits->max)
                             : std::clamp(random.normal(middle, sd), range.min, range.max);
  reading.low = reading.high = value;
}

void draw_state(const species::Character& row, const std::vector<std::string>& states, bool wrong,
                base::Random& random, Observation& reading) {
  const auto& from = states[static_cast<std::size_t>(random.integer(0, static_cast<int>(states.size()) - 1))];
  const auto place = std::find(row.states.begin(), row.states.end(), from) - row.states.begin();
  const int k = static_cast<int>(row.states.size());
  const int shift = wrong && k > 1 ? random.integer(1, k - 1) : 0;
  reading.states = {row.states[static_cast<std::size_t>((place + shift) % k)]};
}

}  // namespace

std::vector<Observation> typical_specimen(const species::Library& library, const species::Profile& profile) {
  std::vector<Observation> list{in_its_prime()};
  for (const species::Character& row : library.characters()) {
    const auto value = profile.characters.find(row.id);
    if (value == profile.characters.end() || !of_the_fungus(row.id)) continue;
    Observation reading = carefully(row.id);
    if (value->second.range)
      reading.low = reading.high = 0.5 * (value->second.range->usual_min + value->second.range->usual_max);
    else
      reading.states = {value->second.states.front()};
    if (applies(row, list)) list.push_back(std::move(reading));
  }
  return list;
}

std::vector<Observation> telling_specimen(const species::Library& library, const species::Profile& profile,
                                          const std::vector<std::string>& regions) {
  std::vector<Observation> list = typical_specimen(library, profile);
  for (Observation& reading : list) {
    if (reading.low || !of_the_fungus(reading.character)) continue;
    int most = -1;
    std::string best;
    for (const std::string& state : profile.characters.at(reading.character).states) {
      reading.states = {state};
      int hits = 0;
      for (const species::Profile& danger : library.profiles())
        hits += in_closure(danger, regions) && contradicts(library, reading, danger, list).counts;
      if (hits > most) most = hits, best = state;
    }
    reading.states = {best};
  }
  return list;
}

std::vector<Observation> drawn_specimen(const species::Library& library, const species::Profile& profile,
                                        Experience experience, base::Random& random) {
  std::vector<Observation> list{in_its_prime()};
  for (const species::Character& row : library.characters()) {
    const auto value = profile.characters.find(row.id);
    if (value == profile.characters.end() || !of_the_fungus(row.id)) continue;
    Observation reading = carefully(row.id);
    const bool wrong = random.chance(misread_rate(row, reading, experience));
    if (value->second.range)
      draw_number(row, *value->second.range, wrong, random, reading);
    else
      draw_state(row, value->second.states, wrong, random, reading);
    if (applies(row, list)) list.push_back(std::move(reading));
  }
  return list;
}

}  // namespace stumpwise::key
