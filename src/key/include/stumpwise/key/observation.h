#pragma once
#include <string>

#include "stumpwise/records/piece.h"
#include "stumpwise/species/library.h"

namespace stumpwise::key {

using records::Observation;

/// Whose eyes: misread rates of the vocabulary are those of a trained person (all an assumption until double
/// readings replace them).
enum class Experience { novice, trained, expert };
std::string experience_name(Experience experience);
/// Throws Error(bad_usage) naming the three words.
Experience parse_experience(const std::string& text);

/// "C20=one-hollow@cut", "C31=white|cream", "C11=5 cm", "C06.count=40/cm", "C26.change=none@cut@300":
/// character, states or a number with its unit, and how it was made: dug, cut, micro, seconds watched
/// (several, each after an @). Throws Error(bad_value) with the value, what is allowed and the nearest words.
Observation parse_observation(const species::Library& library, const std::string& text);

/// As it is written: "C20=one-hollow@cut".
std::string to_text(const Observation& reading);

/// Whether everything the reading says lies outside what `value` allows; nothing recorded: false.
bool outside(const Observation& reading, const species::CharacterValue& value);
/// Whether the reading lies wholly within it.
bool within(const Observation& reading, const species::CharacterValue& value);
/// Two or more states, or a number given as a span.
bool unsure(const Observation& reading);

/// Rate at which this reading is wrong. Novice: min(2 e, 0.4); expert: e / 2. A dug base and a cut into the
/// ground have rates of their own; buried wood is missed in three of ten where nobody dug.
double misread_rate(const species::Character& row, const Observation& reading, Experience experience);

}  // namespace stumpwise::key
