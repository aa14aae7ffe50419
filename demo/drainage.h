#pragma once
#include <cstdint>
#include <vector>

namespace stumpwise::demo {

/// Where water goes: the cell below (-1 at an outlet), and all cells from low to high.
struct Flow {
  std::vector<int> receiver;
  std::vector<int> order;
};

/// Raises pits until each cell drains to the edge or to a cell marked as outlet (priority flood with a least
/// fall, Barnes and others 2014), then sends each cell to its steepest lower neighbour of eight.
Flow fill_and_route(std::vector<float>& elevation_m, int cols, int rows,
                    const std::vector<std::uint8_t>& outlet);

/// Cells that drain through each cell, itself included.
std::vector<float> accumulate(const Flow& flow);

/// How land is worn. Lowering by running water follows the law of stream power, strength x A^0.24 x slope,
/// solved implicitly down the order of flow (Braun & Willett 2013, Geomorphology 180-181:170); slopes are
/// held below `steepest`; creep rounds what lies between; `lift_m`, where not empty, is what the ground rises
/// in a round. Outlets and the edge stay.
struct Wear {
  double cell_m = 0;
  int rounds = 0;
  double strength = 0;
  double steepest = 0.62;
  float creep = 0.12f;  ///< share of the way to the mean of four neighbours
  float jitter_m =
      0.6f;  ///< roughness of each round, so that water does not run along the grid's eight directions
  std::vector<float> lift_m;
};
void wear_down(std::vector<float>& elevation_m, int cols, int rows, const std::vector<std::uint8_t>& outlet,
               const Wear& wear, std::uint64_t seed);

}  // namespace stumpwise::demo
