#pragma once
#include "scene.h"

namespace stumpwise::walk::scene {

inline WalkRequest request_from(const earth::PlanePoint& start, double budget_min) {
  WalkRequest request;
  request.start = start;
  request.budget_min = budget_min;
  request.daylight_min = budget_min + 120;
  return request;
}

/// Open flat land with a few patches, so that every way is the straight line.
struct FlatCase {
  Land land = flat(150, 120);
  std::vector<Patch> patches;
  WalkRequest request;

  FlatCase(std::uint64_t seed, int count, double budget_min) {
    base::Random random(seed);
    const auto& g = land.wall.georef;
    const auto place = [&] {
      return earth::PlanePoint{g.x_of(random.integer(2, 147)), g.y_of(random.integer(2, 117))};
    };
    request = request_from(place(), budget_min);
    for (int i = 0; i < count; ++i)
      patches.push_back(patch(i + 1, place(), random.uniform(0.2, 6), random.uniform(2000, 9000)));
  }
  double way_min(const earth::PlanePoint& a, const earth::PlanePoint& b) const {
    return straight_m(a, b) * flat_min_per_m();
  }
};

}  // namespace stumpwise::walk::scene
