#include <cmath>
#include <map>

#include "stumpwise/key/gate.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {

std::size_t Gate::index_of(const species::Profile& profile) const {
  const auto place = static_cast<std::size_t>(&profile - library_.profiles().data());
  if (place < matrix_.taxa.size()) return place;  // rows stand in the library's order
  throw Error(ErrorCode::internal, "profile " + profile.id + " is not of this library");
}

double Gate::log_likelihood_ratio(const species::Profile& name, const species::Profile& danger,
                                  const std::vector<Observation>& readings) const {
  return log_likelihood_ratio(name, danger, evidence_of(library_, readings, Experience::novice));
}

double Gate::log_likelihood_ratio(const species::Profile& name, const species::Profile& danger,
                                  const std::vector<Evidence>& evidence) const {
  struct Sum {
    double value = 0;
    int n = 0;
  };
  std::map<std::string, Sum> groups;
  const std::size_t own = index_of(name), its = index_of(danger);
  for (const Evidence& reading : evidence) {
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
