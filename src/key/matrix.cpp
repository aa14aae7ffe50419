#include "stumpwise/key/matrix.h"

#include <bit>
#include <cmath>
#include <numbers>

namespace stumpwise::key {

double likelihood_unrecorded(const KeyCharacter& character, const Evidence& reading) {
  if (character.numeric()) return 1 / character.range;
  return std::popcount(reading.states) / static_cast<double>(character.states.size());
}

double likelihood(const KeyCharacter& character, const KeyCell& cell, const Evidence& reading) {
  if (!cell.recorded) return likelihood_unrecorded(character, reading);
  const double misread = reading.misread;
  if (character.numeric()) {
    const double z = (reading.value - cell.mean) / cell.sd;
    return (1 - misread) * std::exp(-0.5 * z * z) / (cell.sd * std::sqrt(2 * std::numbers::pi)) +
           misread / character.range;
  }
  const auto k = static_cast<double>(character.states.size());
  const double read = std::popcount(reading.states);
  // Sum over the states of the reading of (1 - e) m + e (1 - m) / (K - 1).
  const double hit =
      static_cast<double>(std::popcount(reading.states & cell.states)) / std::popcount(cell.states);
  return (1 - misread) * hit + misread * (read - hit) / (k - 1);
}

}  // namespace stumpwise::key
