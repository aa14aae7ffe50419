#pragma once
#include <cmath>
#include <filesystem>

#include "stumpwise/base/random.h"
#include "stumpwise/ground/prospect.h"

namespace stumpwise::ground::testing_scene {

inline species::Profile elm_profile() {
  species::Profile profile;
  profile.id = "E01";
  profile.hosts = {{"Ulmus", 1.0, "memory"}, {"Acer", 0.5, "memory"}};
  return profile;
}

/// Codes: 0 water, 1 meadow, 2 elm wood, 3 "trees".
inline Legend small_legend() {
  Legend legend{"small", "made for the tests", {}};
  CoverClass water, meadow, elm, trees;
  water.value = 11, water.code = 0, water.name = "water", water.water = true;
  meadow.value = 71, meadow.code = 1, meadow.name = "meadow", meadow.canopy = 0.05;
  elm.value = 41, elm.code = 2, elm.name = "elm wood", elm.canopy = 0.9, elm.dead_wood = 0.3;
  elm.genera = {{"Ulmus", {0.4, 0.1}}, {"Acer", {0.2, 0.1}}};
  trees.value = 43, trees.code = 3, trees.name = "trees", trees.canopy = 0.9, trees.dead_wood = 0.3;
  trees.trees_unspecified = true;
  trees.genera = elm.genera;
  legend.classes = {water, meadow, elm, trees};
  return legend;
}

/// A ground of rolling values, all layers known, the four classes mixed.
inline Layers random_layers(int cols, int rows, std::uint64_t seed) {
  using raster::Grid;
  using raster::Quantity;
  Layers l;
  l.georef = {500000, 4700000, 10, cols, rows, 32618};
  l.legend = small_legend();
  auto fill = [&](double mean, double sd) {
    base::Random random(seed++);
    Grid grid(l.georef, Quantity::other, 0);
    for (float& v : grid.values) v = static_cast<float>(random.normal(mean, sd));
    return grid;
  };
  l.elevation_m = fill(400, 120);
  l.slope_deg = fill(12, 6);
  l.aspect_deg = fill(180, 60);
  l.heat_load = fill(0.75, 0.15);
  l.wetness = fill(6.5, 2);
  l.position_fine_m = fill(0, 4);
  l.position_broad_m = fill(0, 40);
  l.water_distance_m = fill(0, 200);
  for (float& v : l.water_distance_m.values) v = std::abs(v);
  base::Random random(seed);
  l.cover = {l.georef, std::vector<std::uint8_t>(l.georef.size())};
  for (auto& code : l.cover.codes) code = static_cast<std::uint8_t>(random.integer(0, 3));
  return l;
}

/// All covariates at their centre: one class everywhere.
inline Layers plain_layers(int cols, int rows, std::uint8_t code) {
  using raster::Grid;
  using raster::Quantity;
  Layers l;
  l.georef = {500000, 4700000, 10, cols, rows, 32618};
  l.legend = small_legend();
  l.elevation_m = Grid(l.georef, Quantity::elevation_m, 700);
  l.cover = {l.georef, std::vector<std::uint8_t>(l.georef.size(), code)};
  return l;
}

inline IndexByHeight flat_index(double index) {
  return {{0, 1000}, {index, index}, {index, index}, {index, index}};
}

}  // namespace stumpwise::ground::testing_scene
