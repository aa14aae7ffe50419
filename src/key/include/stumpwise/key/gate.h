#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/key/matrix.h"
#include "stumpwise/key/observation.h"

namespace stumpwise::key {

/// T of rule G6, in nats: how much likelier the readings must be under the name than under each danger, with
/// novice misread rates. Chosen on the trade-off curve of stumpwise-bench key and on simulated bodies of our
/// own profiles; see docs/key.md.
inline constexpr double kGateThreshold = 7.0;

/// What the readings say against one dangerous taxon.
struct DangerVerdict {
  std::string id, name;
  bool listed = false;                       ///< the profiles name it as a double of this name
  bool blocked = false;                      ///< G8: stays shut
  bool defeated = false;                     ///< nothing of this keeps the gate shut
  bool settled = false;                      ///< G2: two evidence groups contradict it
  double llr = 0;                            ///< G6: log-likelihood of the name minus that of the danger
  std::vector<std::string> contradicted_by;  ///< characters that count, and
  std::vector<std::string> groups;           ///< their evidence groups
  std::vector<std::string> missing;          ///< characters that could settle it and have not
  std::vector<std::string> against;          ///< G5: named characters that are unsure or support the danger
  std::vector<std::string> reasons;          ///< why it is not defeated, in words
};

/// The gate of one name. It reads neither prior nor prospect nor date nor anybody's experience.
struct GateResult {
  bool open = false;
  std::vector<std::string> reasons;       ///< what keeps it shut apart from the dangers
  std::vector<DangerVerdict> undefeated;  ///< deadly and listed ones first
  std::vector<DangerVerdict> defeated;
  std::vector<std::string> must_see_missing;   ///< not observed
  std::vector<std::string> must_see_contrary;  ///< observed, not within the name's own states
  bool age_wanted = false;                     ///< stains count only once the age of the body (C44) is read
  bool covered = false;                        ///< the book knows the dangers of the region
};

/// G1: every danger of the regions; of all where the place is not known (`regions` empty).
bool in_closure(const species::Profile& danger, const std::vector<std::string>& regions);

/// G2 to G4 for one reading: whether it contradicts `danger`, and if it lies outside but does not count, why.
struct Contradiction {
  bool counts = false;
  std::string why_not;  ///< empty where it counts or does not lie outside
};
Contradiction contradicts(const species::Library& library, const Observation& reading,
                          const species::Profile& danger, const std::vector<Observation>& readings);

/// Whether the danger's syndrome has killed: these stand first among dangers that are no listed double.
bool deadly(const species::Library& library, const std::string& id);

class Judge;

/// Rules G1 to G8 of the domain paper, B6, on the profiles of one library, which must outlive it.
class Gate {
 public:
  explicit Gate(const species::Library& library);
  /// `readings` are the current ones (records::current). `regions` empty: the place is not known; then the
  /// closure is every danger of the book and the gate stays shut.
  GateResult judge(const species::Profile& name, const std::vector<Observation>& readings,
                   const std::vector<std::string>& regions) const;
  /// Before anything can be named: every danger of the regions is undefeated.
  GateResult without_name(const std::vector<std::string>& regions) const;
  /// G6: log-likelihood of the readings under `name` minus under `danger`, novice rates, each evidence
  /// group's sum divided by 1 + 0.5 (n - 1). A character that one of the two does not record, or that does
  /// not apply, tells nothing.
  double log_likelihood_ratio(const species::Profile& name, const species::Profile& danger,
                              const std::vector<Observation>& readings) const;
  const species::Library& library() const { return library_; }
  const Matrix& matrix() const { return matrix_; }

 private:
  friend class Judge;
  std::size_t index_of(const species::Profile& profile) const;
  double log_likelihood_ratio(const species::Profile& name, const species::Profile& danger,
                              const std::vector<Evidence>& evidence) const;
  const species::Library& library_;
  Matrix matrix_;
};

}  // namespace stumpwise::key
