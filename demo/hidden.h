#pragma once
#include <string>
#include <vector>

#include "climate.h"
#include "land.h"

namespace stumpwise::demo {

/// The hidden truth of Ennoway Vale: who fruits where and when. Rules of the demo's own, told in
/// docs/demo.md; they share neither formulas nor numbers with the program's index and prospect (single places
/// with their own thresholds instead of a density over covariates, triggers instead of response curves), so
/// nothing that is fitted to the finds proves itself.

/// A log, stump, tree foot or patch of ground that bears one species.
struct FruitingPlace {
  std::string species, host_genus, told_by, substrate;
  PlanePoint at;
  std::optional<int> year_died;  ///< of an elm that bears E01
  bool spent_elm = false;
};

/// One fruiting that can be seen.
struct Fruiting {
  std::size_t place = 0;
  Date first, last;
  int pieces = 1;
  double cap_mm = 0;
};

struct HiddenTruth {
  std::vector<FruitingPlace> places;
  std::vector<Fruiting> fruitings;
};
HiddenTruth make_truth(const Land& land, const std::vector<ClimateDay>& days, std::uint64_t seed);

/// Distance in metres at which a searcher's chance to see the species is 1/e of that at its foot.
double sight_m(const std::string& species);
/// How much people believe in a class of land for a species, 0 to 1: what they are taught, not the truth.
double believed(const std::string& species, std::uint8_t cover);

}  // namespace stumpwise::demo
