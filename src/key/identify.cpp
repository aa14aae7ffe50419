#include "stumpwise/key/identify.h"

#include <algorithm>
#include <numeric>

#include "stumpwise/key/advice.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {

namespace {

/// Floors of the prior, in even shares: nothing is ruled out by rarity, a danger least of all (assumptions).
constexpr double kFloor = 0.05, kDangerFloor = 0.5;
/// A name is a candidate with this share of everything, "none of these" included, and with no listed double
/// that holds more than a tenth of it (assumptions; the gate does not read them), and with a counting reading
/// against each listed double that readings can settle: glances alone make no candidate beside such a one.
constexpr double kCandidateShare = 0.5, kRival = 0.1;

bool gathered(const species::Profile& profile) {
  return profile.group == species::Group::edible || profile.group == species::Group::conditional;
}

}  // namespace

std::string standing_name(Standing standing) {
  switch (standing) {
    case Standing::unresolved:
      return "unresolved";
    case Standing::candidate:
      return "candidate";
    case Standing::doubles_contradicted:
      return "doubles contradicted";
  }
  return "";
}

Key::Key(const species::Library& library) : library_(library), gate_(library), chooser_(gate_.matrix()) {}

std::vector<double> Key::shares(const Question& question) const {
  const Matrix& matrix = gate_.matrix();
  const auto evidence = evidence_of(library_, question.readings, question.experience);
  std::vector<double> weight =
      question.prior.empty() ? std::vector<double>(matrix.taxa.size(), 1) : question.prior;
  return posterior(floored_prior(matrix, std::move(weight), kFloor, kDangerFloor), kNoneMass,
                   log_likelihoods(matrix, evidence, Grouping::capped));
}

std::string Key::lead(const std::vector<double>& shares) const {
  const auto& profiles = library_.profiles();
  std::string id;
  double most = 0;
  for (std::size_t t = 0; t < profiles.size(); ++t)
    if (gathered(profiles[t]) && shares[t] > most) most = shares[t], id = profiles[t].id;
  return id;
}

Standing Key::standing(const Question& question, const std::vector<double>& shares,
                       const Answer& answer) const {
  if (answer.name.empty() || question.readings.empty()) return Standing::unresolved;
  if (answer.gate.open) return Standing::doubles_contradicted;
  const species::Profile& name = *library_.find(answer.name);
  const auto& profiles = library_.profiles();
  double own = 0;
  for (std::size_t t = 0; t < profiles.size(); ++t)
    if (profiles[t].id == name.id) own = shares[t];
  if (own < kCandidateShare || !answer.gate.must_see_contrary.empty()) return Standing::unresolved;
  for (const DangerVerdict& double_of_it : answer.gate.undefeated)
    if (double_of_it.listed && !double_of_it.blocked && double_of_it.groups.empty())
      return Standing::unresolved;
  for (std::size_t t = 0; t < profiles.size(); ++t)
    for (const species::Pair& pair : name.pairs)
      if (pair.with == profiles[t].id && profiles[t].group == species::Group::dangerous &&
          shares[t] > kRival * own)
        return Standing::unresolved;
  return Standing::candidate;
}

Answer Key::answer(const Question& question) const {
  Answer answer;
  const std::vector<double> share = shares(question);
  const auto& profiles = library_.profiles();
  for (std::size_t t = 0; t < profiles.size(); ++t)
    answer.names.push_back({profiles[t].id, profiles[t].name(), share[t]});
  answer.none_of_these = share.back();
  std::stable_sort(answer.names.begin(), answer.names.end(),
                   [](const NamedShare& a, const NamedShare& b) { return a.posterior > b.posterior; });
  answer.name = !question.name.empty() ? question.name : question.readings.empty() ? "" : lead(share);
  if (const species::Profile* name = library_.find(answer.name))
    answer.gate = gate_.judge(*name, question.readings, question.regions);
  else
    answer.gate = gate_.without_name(question.regions);
  answer.standing = standing(question, share, answer);
  answer.next = Adviser(gate_, chooser_, question, share, answer).list();
  answer.clashes = clashes(library_, question.readings);
  return answer;
}

}  // namespace stumpwise::key
