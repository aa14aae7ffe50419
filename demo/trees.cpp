#include <cmath>

#include "land.h"
#include "noise.h"
#include "stumpwise/base/random.h"
#include "stumpwise/demo/sites.h"

namespace stumpwise::demo {
namespace {

PlanePoint within_cell(base::Random& random, const raster::Georef& g, int col, int row) {
  const double x = g.x_of(col) + random.uniform(-5, 5), y = g.y_of(row) + random.uniform(-5, 5);
  return {x, y};
}

std::string how_told(base::Random& random, bool dead) {
  const double draw = random.uniform();
  if (dead) return draw < 0.7 ? "bark" : "wood";
  return draw < 0.6 ? "leaf" : draw < 0.85 ? "bark" : "bud";
}

/// Elms that died of elm disease (2008 to 2025): many at Tarnwick, some wherever elm and ash stand, a few in
/// hedges.
void add_elms(Land& land, std::uint64_t seed) {
  const raster::Georef& g = land.cover.georef;
  const PlanePoint tarnwick = plane_point(kTarnwickWood.place), spent = plane_point(kSpentElm);
  for (int row = 0; row < g.rows; ++row)
    for (int col = 0; col < g.cols; ++col) {
      const std::uint8_t code = land.cover.codes[g.index(col, row)];
      if (code != kElmAsh && code != kPasture) continue;
      const double away_m = std::hypot(g.x_of(col) - tarnwick.x_m, g.y_of(row) - tarnwick.y_m);
      const bool home = away_m < 520 && code == kElmAsh;
      const double per_ha = code == kPasture ? 0.02 : home ? 1.7 : 0.7;
      if (lattice_uniform(seed, col, row) >= per_ha / 100) continue;
      base::Random random(lattice_hash(seed + 1, col, row));  // a stream for each tree: see hidden.cpp
      Tree tree{"Ulmus",
                within_cell(random, g, col, row),
                "dead",
                2008 + random.integer(0, 17),
                std::round(random.uniform(5, 11)),
                how_told(random, true),
                random.chance(home ? 0.6 : 0.06)};
      if (random.chance(0.2)) tree.state = random.chance(0.7) ? "log" : "stump";
      if (std::hypot(tree.at.x_m - spent.x_m, tree.at.y_m - spent.y_m) > 25)
        land.trees.push_back(std::move(tree));
    }
  land.trees.push_back({"Ulmus", spent, "dead", 2017, 9, "bark", true});
}

void add_apples(Land& land, base::Random& random) {
  const PlanePoint middle = plane_point(kHobbsOrchard.place);
  for (int row = -9; row <= 9; ++row)
    for (int col = -11; col <= 11; ++col) {
      const PlanePoint at{middle.x_m + 10.0 * col + random.normal(0, 0.7),
                          middle.y_m + 10.0 * row + random.normal(0, 0.7)};
      const bool gone = random.chance(0.55);
      if (gone || land.cover_at(at) != kOrchard) continue;
      const bool dead = random.chance(0.15);
      land.trees.push_back({"Malus", at, dead ? "dead" : "living",
                            dead ? std::optional<int>(2012 + random.integer(0, 12)) : std::nullopt, 5,
                            dead ? "bark" : "leaf", true});
    }
}

/// Trees that somebody noted on the way: a sample of the woods.
void add_noted(Land& land, base::Random& random, std::uint8_t cover, const char* genus, int count,
               double dead_share) {
  const raster::Georef& g = land.cover.georef;
  for (int found = 0, tries = 0; found < count && tries < 400'000; ++tries) {
    const int col = random.integer(5, g.cols - 6), row = random.integer(5, g.rows - 6);
    if (land.cover.codes[g.index(col, row)] != cover) continue;
    ++found;
    const bool dead = random.chance(dead_share);
    const std::string state = !dead                ? "living"
                              : random.chance(0.4) ? "log"
                              : random.chance(0.5) ? "stump"
                                                   : "dead";
    const std::optional<int> died = dead ? std::optional<int>(2005 + random.integer(0, 19)) : std::nullopt;
    land.trees.push_back({genus, within_cell(random, g, col, row), state, died,
                          std::round(random.uniform(6, 14)), how_told(random, dead), true});
  }
}

}  // namespace

void make_trees(Land& land, std::uint64_t seed) {
  base::Random random(seed);
  add_elms(land, seed + 1);
  add_apples(land, random);
  add_noted(land, random, kOakBeech, "Fagus", 45, 0.35);
  add_noted(land, random, kOakBeech, "Quercus", 50, 0.2);
  add_noted(land, random, kBeechAshMaple, "Fagus", 25, 0.4);
  add_noted(land, random, kBeechAshMaple, "Acer", 15, 0.3);
  add_noted(land, random, kBirchPoplar, "Populus", 15, 0.5);
  add_noted(land, random, kAlderWillow, "Salix", 12, 0.5);
  add_noted(land, random, kSpruceHemlock, "Picea", 15, 0.6);
}

}  // namespace stumpwise::demo
