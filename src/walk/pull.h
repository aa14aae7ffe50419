#pragma once
#include <vector>

#include "land.h"

namespace stumpwise::walk {

/// A walked line and its minutes.
struct Way {
  std::vector<earth::PlanePoint> line;
  double minutes = 0;
};

/// The line through some of its own vertices that takes least time: each new segment is clear of walls, and
/// none is taken that loses time against the way round (a straight line over a knoll). The ends stay; never
/// slower than `line`.
Way pulled(const Land& land, std::vector<earth::PlanePoint> line);

}  // namespace stumpwise::walk
