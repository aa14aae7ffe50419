#pragma once
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "relief.h"
#include "streams.h"

namespace stumpwise::demo {

/// Values of legends/ennoway.toml.
enum Cover : std::uint8_t {
  kWater = 1,
  kElmAsh = 2,
  kBeechAshMaple = 3,
  kOakBeech = 4,
  kSpruceHemlock = 5,
  kBirchPoplar = 6,
  kOrchard = 7,
  kPasture = 8,
  kHeath = 9,
  kAlderWillow = 10,
  kGardens = 11,
  kRock = 12,
  kBeechSpruce = 13
};

/// What somebody noted of a piece of land.
struct Area {
  std::string name;
  std::vector<std::pair<std::string, std::string>> attributes;  ///< kind and what goes with it
  std::vector<PlanePoint> ring;                                 ///< closed
  bool entered = true;                                          ///< people of the demo go there
};

struct Tree {
  std::string genus;
  PlanePoint at;
  std::string state;  ///< living, dead, log, stump
  std::optional<int> year_died;
  double radius_m = 12;
  std::string told_by;
  bool known = false;  ///< stands in hosts.geojson; the others are there all the same
};

struct Land {
  Relief relief;
  std::vector<Stream> streams;
  raster::ClassGrid cover;
  std::vector<Area> access, history;
  std::vector<Tree> trees;
  std::uint8_t cover_at(const PlanePoint& point) const;
};

Land make_land(std::uint64_t seed, const base::Progress& progress);
/// The area of that name; it must be there.
const Area& area_named(const std::vector<Area>& areas, const std::string& name);
bool inside_ring(const std::vector<PlanePoint>& ring, const PlanePoint& point);

/// The pieces of make_land, in their order.
void make_areas(Land& land, std::uint64_t seed);
void make_cover(Land& land, std::uint64_t seed);
void make_trees(Land& land, std::uint64_t seed);

}  // namespace stumpwise::demo
