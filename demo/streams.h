#pragma once
#include <vector>

#include "relief.h"

namespace stumpwise::demo {

struct Stream {
  std::vector<PlanePoint> line;  ///< downstream
  double upslope_ha = 0;         ///< at its lower end
};

/// Lines of flow that drain at least `least_ha`, each from its head to the river, the edge or a stream
/// already drawn.
std::vector<Stream> trace_streams(const Relief& relief, double least_ha);

}  // namespace stumpwise::demo
