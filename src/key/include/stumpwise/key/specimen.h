#pragma once
#include "stumpwise/base/random.h"
#include "stumpwise/key/observation.h"

namespace stumpwise::key {

/// A body of `profile` as a careful person would read it: of every recorded character that applies the first
/// state, of a number the middle of the usual range; dug, cut, under the microscope, every stain watched for
/// five minutes on a body in its prime.
std::vector<Observation> typical_specimen(const species::Library& library, const species::Profile& profile);

/// The same, but of each character with states the one of its own states that contradicts most dangers of the
/// regions: what the luckiest body of that taxon could show.
std::vector<Observation> telling_specimen(const species::Library& library, const species::Profile& profile,
                                          const std::vector<std::string>& regions);

/// The same with states drawn evenly, numbers drawn around the usual middle inside min and max, and each
/// reading wrong with the rate of `experience`: another state, or a number anywhere inside the limits. For
/// measuring and for drills. Characters are drawn independently, which real bodies are not.
std::vector<Observation> drawn_specimen(const species::Library& library, const species::Profile& profile,
                                        Experience experience, base::Random& random);

}  // namespace stumpwise::key
