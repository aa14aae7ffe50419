#include "stumpwise/base/error.h"
#include "stumpwise/demo/sites.h"
#include "walker.h"

namespace stumpwise::demo {
namespace {

void lay(Walker& walker, std::vector<Trail>& trails, const std::string& name,
         const std::vector<PlanePoint>& stations) {
  Trail trail{name, {stations.front()}, false};
  for (std::size_t i = 0; i + 1 < stations.size(); ++i) {
    const auto way = walker.way(stations[i], stations[i + 1]);
    if (!way) throw Error(ErrorCode::internal, "the demo's trail \"" + name + "\" finds no way");
    for (const WayPoint& point : *way) trail.line.push_back(point.at);
  }
  walker.mark_trail(trail.line);
  trails.push_back(std::move(trail));
}

}  // namespace

std::vector<Trail> lay_trails(const Land& land, Walker& walker) {
  const PlanePoint green = plane_point(kBridgeGreen.place), lane = plane_point(kTarnwickLane.place),
                   gate = plane_point(kLanternGate.place);
  const PlanePoint south = land.relief.bridge_south, north = land.relief.bridge_north;
  std::vector<Trail> trails;
  trails.push_back({"Ennoway Bridge", {north, south}, true});
  walker.mark_trail(trails.back().line);
  lay(walker, trails, "Bridge path", {green, north});
  lay(walker, trails, "South bank lane", {south, lane});
  lay(walker, trails, "Tarnwick path", {lane, plane_point(kTarnwickWood.place)});
  lay(walker, trails, "Stoop path", {plane_point(kTarnwickWood.place), plane_point(kColdStoop.place)});
  lay(walker, trails, "Orchard path", {green, plane_point(kHobbsOrchard.place), gate});
  lay(walker, trails, "Lantern path", {gate, plane_point(kLanternRidge.place)});
  lay(walker, trails, "Vale lane", {local_point(60, 4050), green, local_point(11'930, 8100)});
  return trails;
}

}  // namespace stumpwise::demo
