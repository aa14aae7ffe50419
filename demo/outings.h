#pragma once
#include <string>
#include <vector>

#include "hidden.h"
#include "stumpwise/exchange/gpx.h"
#include "stumpwise/records/records.h"
#include "walker.h"

namespace stumpwise::demo {

/// One outing as it is written: the record and its track.
struct InventedOuting {
  records::Outing outing;
  exchange::Gpx gpx;
};

/// Two seasons (2025, 2026 up to 22 November) of 48 outings each and a few before them, in daylight, from the
/// car parks, on foot, each with what was found by chance on the way. The elm of the demo's story is visited
/// in the springs of 2023 to 2026.
std::vector<InventedOuting> make_outings(const Land& land, const Walker& walker, const HiddenTruth& truth,
                                         std::uint64_t seed);

}  // namespace stumpwise::demo
