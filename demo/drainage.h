#pragma once
#include <cstdint>
#include <vector>

namespace stumpwise::demo {

/// Where water goes: the cell below (-1 at an outlet), and all cells from low to high.
struct Flow {
  std::vector<int> receiver;
  std::vector<int> order;
};

/// Raises pits until each cell drains to the edge or to a cell marked as outlet (priority flood with a least fall, Barnes and
/// others 2014), then sends each cell to its steepest lower neighbour of eight.
Flow fill_and_route(std::vector<float>& elevation_m, int cols, int rows, const std::vector<std::uint8_t>& outlet);

/// Cells that drain through each cell, itself included.
std::vector<float> accumulate(const Flow& flow);

/// Wears valleys into a surface by the law of stream power, lowering = K A^0.45 S, solved implicitly down the order of flow
/// (Braun & Willett 2013, Geomorphology 180-181:170), with slopes held below `steepest` and a little creep. Outlets stay.
void wear_down(std::vector<float>& elevation_m, int cols, int rows, double cell_m, const std::vector<std::uint8_t>& outlet,
               int rounds, double strength, double steepest, std::uint64_t seed);

}  // namespace stumpwise::demo
