#include <cmath>
#include <map>

#include "stumpwise/key/gate.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {

std::size_t Gate::index_of(const species::Profile& profile) const {
  for (std::size_t t = 0; t < matrix_.taxa.size(); ++t)
    if (matrix_.taxa[t].id == profile.id) return t;
  throw Error(ErrorCode::internal, "profile " + profile.id + " is not of this library");
}

double Gate::log_likelihood_ratio(const species::Profile& name, const species::Profile& danger,
                                  const std::vector<Observation>& readings) const {
  struct Sum {
    double value = 0;
    int n = 0;
  };
  std::map<std::string, Sum> groups;
  const std::size_t own = index_of(name), its = index_of(danger);
  for (const Evidence& reading : evidence_of(library_, matrix_, readings, Experience::novice)) {
    const KeyCell &a = matrix_.cell(own, reading.character), &b = matrix_.cell(its, reading.character);
    if (!a.recorded || !b.recorded) continue;
    const KeyCharacter& character = matrix_.characters[reading.character];
    Sum& sum = groups[character.group];
    sum.value += std::log(likelihood(character, a, reading) / likelihood(character, b, reading));
    ++sum.n;
  }
  double ratio = 0;
  for (const auto& [group, sum] : groups) ratio += sum.value / (1 + 0.5 * (sum.n - 1));
  return ratio;
}

}  // namespace stumpwise::key
