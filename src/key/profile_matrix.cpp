#include "stumpwise/key/profile_matrix.h"

#include <algorithm>
#include <cmath>

namespace stumpwise::key {
namespace {

bool names_nobody(const std::string& id) {
  return id == "C44" || id == "C45";
}

std::size_t state_index(const species::Character& row, const std::string& state) {
  return static_cast<std::size_t>(std::find(row.states.begin(), row.states.end(), state) -
                                  row.states.begin());
}

States states_of(const species::Character& row, const std::vector<std::string>& states) {
  States set = 0;
  for (const std::string& state : states) set |= States{1} << state_index(row, state);
  return set;
}

/// False where the profile's own states of the needed character exclude it.
bool applies_to(const species::Character& row, const species::Profile& profile) {
  if (row.needs.empty()) return true;
  const auto needed = profile.characters.find(row.needs);
  if (needed == profile.characters.end()) return true;
  return std::any_of(
      needed->second.states.begin(), needed->second.states.end(), [&](const std::string& state) {
        return std::find(row.needs_states.begin(), row.needs_states.end(), state) != row.needs_states.end();
      });
}

KeyCell cell_of(const species::Character& row, const species::Profile& profile) {
  KeyCell cell;
  const auto value = profile.characters.find(row.id);
  if (value == profile.characters.end() || names_nobody(row.id) || !applies_to(row, profile)) return cell;
  cell.recorded = true;
  if (!row.limits) {
    cell.states = states_of(row, value->second.states);
    return cell;
  }
  const species::NumericRange& range = *value->second.range;
  cell.mean = 0.5 * (range.usual_min + range.usual_max);
  cell.sd = std::max({(range.usual_max - range.usual_min) / 4, 0.05 * cell.mean, 0.002 * row.limits->max});
  return cell;
}

/// Classes of a number for weighing what to look at: eighths of the taxa's means.
std::vector<double> cuts_of(const Matrix& matrix, std::size_t index) {
  std::vector<double> means;
  for (std::size_t t = 0; t < matrix.taxa.size(); ++t)
    if (const KeyCell& cell = matrix.cell(t, index); cell.recorded) means.push_back(cell.mean);
  std::sort(means.begin(), means.end());
  std::vector<double> cuts;
  for (std::size_t eighth = 1; eighth < 8 && !means.empty(); ++eighth) {
    const double cut = means[means.size() * eighth / 8];
    if (cut > 0 && cut < matrix.characters[index].range && (cuts.empty() || cut > cuts.back()))
      cuts.push_back(cut);
  }
  return cuts;
}

}  // namespace

Matrix profile_matrix(const species::Library& library) {
  Matrix matrix;
  for (const species::Character& row : library.characters()) {
    KeyCharacter character;
    character.id = row.id, character.name = row.name, character.group = row.evidence_group;
    character.states = row.states;
    if (row.limits) character.range = row.limits->max;
    character.misread = row.misread, character.minutes = row.minutes;
    matrix.characters.push_back(std::move(character));
  }
  for (const species::Profile& profile : library.profiles()) {
    matrix.taxa.push_back({profile.id, profile.name(), profile.group == species::Group::dangerous});
    for (const species::Character& row : library.characters()) matrix.cells.push_back(cell_of(row, profile));
  }
  for (std::size_t c = 0; c < matrix.characters.size(); ++c)
    if (matrix.characters[c].numeric()) matrix.characters[c].cuts = cuts_of(matrix, c);
  return matrix;
}

std::vector<Evidence> evidence_of(const species::Library& library, const std::vector<Observation>& readings,
                                  Experience experience) {
  std::vector<Evidence> list;
  for (const Observation& reading : readings) {
    if (names_nobody(reading.character)) continue;
    if (const species::Character* found = library.character(reading.character)) {
      const auto c = static_cast<std::size_t>(found - library.characters().data());
      const species::Character& row = *found;
      list.push_back({c, states_of(row, reading.states),
                      reading.low ? 0.5 * (*reading.low + *reading.high) : 0,
                      misread_rate(row, reading, experience)});
    }
  }
  return list;
}

bool applies(const species::Character& row, const std::vector<Observation>& readings) {
  if (row.needs.empty()) return true;
  for (const Observation& reading : readings)
    if (reading.character == row.needs)
      return std::any_of(reading.states.begin(), reading.states.end(), [&](const std::string& state) {
        return std::find(row.needs_states.begin(), row.needs_states.end(), state) != row.needs_states.end();
      });
  return true;
}

}  // namespace stumpwise::key
