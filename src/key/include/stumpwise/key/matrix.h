#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"

namespace stumpwise::key {

/// A set of states of one character, one bit each.
using States = std::uint64_t;
inline constexpr std::size_t kMostStates = 64;

/// One character of a key, in the order in which they are listed.
struct KeyCharacter {
  std::string id, name;
  std::string group;                ///< evidence group: HY SP ST FL OD SU HB CO CH SZ
  std::vector<std::string> states;  ///< empty for a number
  double range = 0;                 ///< of a number: misread values are spread evenly over [0, range]
  std::vector<double> cuts;  ///< of a number: where its classes begin, for weighing what to look at next
  double misread = 0.1;      ///< rate at which a trained person misreads it
  double minutes = 1;        ///< what it takes to observe
  bool numeric() const { return states.empty(); }
};

/// What is recorded of one taxon's character.
struct KeyCell {
  bool recorded = false;
  States states = 0;        ///< what it may show
  double mean = 0, sd = 0;  ///< of a number: normal
};

struct KeyTaxon {
  std::string id, name;
  bool dangerous = false;
};

/// Taxa by characters: what the engine works on, whether it came from the profiles or from a file.
struct Matrix {
  std::vector<KeyCharacter> characters;
  std::vector<KeyTaxon> taxa;
  std::vector<KeyCell> cells;  ///< taxon by taxon
  const KeyCell& cell(std::size_t taxon, std::size_t character) const {
    return cells[taxon * characters.size() + character];
  }
};

/// A matrix from elsewhere: the open 173-species layout (semicolons; family; name; class e or p; nominal
/// cells
/// "[x, f]", numbers "[min, max]" or "[mean]"; an empty cell is not recorded), with the evidence group of
/// each character ("character,group"). A character with a single recorded state tells nothing and is left
/// out. Every fault comes with its line. Layout: Wagner, Heider, Hattab 2021, Scientific Reports 11: 8134.
Parsed<Matrix> read_matrix(const std::string& path, const std::string& groups_path);

/// A reading of one character: one state or several ("unsure"), or a number, and how likely it is misread.
struct Evidence {
  std::size_t character = 0;
  States states = 0;
  double value = 0;
  double misread = 0.1;
};

/// P(reading | taxon). Of K states, with m evenly spread over the recorded ones and e the misread rate, a
/// state s has (1 - e) m(s) + e (1 - m(s)) / (K - 1); several states: the sum; not recorded: 1 / K each. A
/// number: the density (1 - e) normal(mean, sd) + e / range; not recorded: 1 / range.
double likelihood(const KeyCharacter& character, const KeyCell& cell, const Evidence& reading);

/// The same where nothing is recorded: every reading is as likely as any other.
double likelihood_unrecorded(const KeyCharacter& character, const Evidence& reading);

}  // namespace stumpwise::key
