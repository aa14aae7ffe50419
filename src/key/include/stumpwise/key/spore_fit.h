#pragma once
#include <string>
#include <vector>

#include "stumpwise/key/spores.h"
#include "stumpwise/species/profile.h"

/// How measured spores lie against the sizes of the profiles.
///
/// What: of each measure (length, width, Q) the share of the sample's 5 to 95 % that lies inside the usual
/// range of the profile: |[p5, p95] n [usual_min, usual_max]| / (p95 - p5); a sample without width counts 1
/// inside and 0 outside. Of a profile, the smallest of its measures: one that does not fit is not made good
/// by others. `common` is the shared part of both ranges over what they cover together, and orders equal
/// shares: a wide range takes in everything. Units: none, 0 to 1. An overlap is no probability and a fit is
/// no identification.
namespace stumpwise::key {

struct MeasureFit {
  std::string character;  ///< C32.length, C32.width, C32.q
  species::NumericRange range;
  double share = 0, common = 0;
  bool touches = false;  ///< the sample's 5 to 95 % meets min .. max
  std::string source, note;
  bool disputed = false;
};

struct SporeFit {
  std::string id;
  bool dangerous = false;
  std::vector<MeasureFit> measures;  ///< those that the profile records
  double share = 0, common = 0;
  bool touches = false;  ///< in every measure recorded: the sizes do not speak against it
};

MeasureFit measure_fit(const Spread& sample, const species::NumericRange& range);

/// One profile; without measures where it records none.
SporeFit spore_fit(const SporeStatistics& sample, const species::Profile& profile);

struct SporeFits {
  std::vector<SporeFit> dangers;  ///< all that touch, best first: sizes must be against them to leave
  std::vector<SporeFit> names;    ///< others with length and width and share >= kFitShare, best first
  std::vector<std::string> dangers_unknown;  ///< ids of dangers that record no spore size at all
};
inline constexpr double kFitShare = 0.5;
SporeFits spore_fits(const SporeStatistics& sample, const std::vector<species::Profile>& profiles);

}  // namespace stumpwise::key
