#pragma once
#include "stumpwise/key/identify.h"

namespace stumpwise::key {

/// What to look at next: the characters not yet read, by expected drop in loss per minute.
///
/// Loss = uncertainty of the name (nats) + uncertainty of "dangerous or not" (nats) + for each danger
/// that is not yet settled its weight times the share of the two evidence groups that are missing + 0.5 for
/// each must-see not seen. Weights: 1 for a listed double, 0.1 for another danger of the region; twice that
/// where it can kill. All weights are assumptions. The expectation runs over the outcomes under the posterior
/// for the first two, over the name's own states for the others. Spores need a print: its hours are added
/// where there is none.
class Adviser {
 public:
  Adviser(const Gate& gate, const Chooser& chooser, const Question& question,
          const std::vector<double>& shares, const Answer& answer);
  std::vector<Advice> list() const;

 private:
  Advice advice(const species::Character& row, const Gain& gain) const;
  double gate_drop(const species::Character& row, const species::Profile& name, Advice& advice) const;
  double chance_of_contradiction(const species::Character& row, const species::CharacterValue& own,
                                 const species::Profile& danger) const;
  bool observed(const std::string& id) const;
  std::string why(const species::Character& row, const Advice& advice) const;

  const Gate& gate_;
  const Chooser& chooser_;
  const Question& question_;
  const std::vector<double>& shares_;
  const Answer& answer_;
};

}  // namespace stumpwise::key
