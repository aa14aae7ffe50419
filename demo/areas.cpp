#include <cmath>

#include "land.h"
#include "noise.h"
#include "stumpwise/base/error.h"
#include "stumpwise/demo/sites.h"

namespace stumpwise::demo {
namespace {

/// An uneven round outline.
std::vector<PlanePoint> outline(std::uint64_t seed, const PlanePoint& centre, double east_m, double north_m) {
  constexpr int kPoints = 36;
  std::vector<PlanePoint> ring;
  for (int k = 0; k < kPoints; ++k) {
    const double angle = 2 * 3.141592653589793 * k / kPoints;
    const double reach =
        1 + 0.22 * gradient_noise(seed, 1.3 * std::cos(angle) + 7, 1.3 * std::sin(angle) + 7);
    ring.push_back(
        {centre.x_m + east_m * reach * std::cos(angle), centre.y_m + north_m * reach * std::sin(angle)});
  }
  ring.push_back(ring.front());
  return ring;
}

}  // namespace

bool inside_ring(const std::vector<PlanePoint>& ring, const PlanePoint& point) {
  bool in = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const PlanePoint &a = ring[i], &b = ring[j];
    if ((a.y_m > point.y_m) != (b.y_m > point.y_m) &&
        point.x_m < (b.x_m - a.x_m) * (point.y_m - a.y_m) / (b.y_m - a.y_m) + a.x_m)
      in = !in;
  }
  return in;
}

const Area& area_named(const std::vector<Area>& areas, const std::string& name) {
  for (const Area& area : areas)
    if (area.name == name) return area;
  throw Error(ErrorCode::internal, "the demo has no area named " + name);
}

void make_areas(Land& land, std::uint64_t seed) {
  const PlanePoint tarnwick = plane_point(kTarnwickWood.place), lantern = plane_point(kLanternRidge.place),
                   orchard = plane_point(kHobbsOrchard.place);
  land.access = {
      {"Alder Holm",
       {{"kind", "reserve"},
        {"checked", "2026-02-14"},
        {"note", "Nature reserve: no picking, keep to the lane."}},
       outline(seed + 1, local_point(9600, 5450), 420, 260),
       false},
      {"Garrick's Hanger",
       {{"kind", "permission"},
        {"expires", "2025-10-31"},
        {"checked", "2024-11-02"},
        {"note", "Asked at the farm in 2024; ask again."}},
       outline(seed + 2, local_point(5700, 6350), 430, 380),
       false},
      {"Upper Scar quarry",
       {{"kind", "closed"}, {"checked", "2025-05-03"}, {"note", "Fenced, loose faces."}},
       outline(seed + 3, local_point(10700, 3900), 190, 160),
       false},
      {"Tarnwick Wood",
       {{"kind", "permission"},
        {"expires", "2027-12-31"},
        {"checked", "2026-03-02"},
        {"note", "For teaching; leave standing dead wood alone."}},
       outline(seed + 4, tarnwick, 460, 400),
       true},
      {"Lantern Common",
       {{"kind", "open"}, {"checked", "2025-09-14"}},
       outline(seed + 5, lantern, 950, 620),
       true},
  };
  land.history = {
      {"Long Burn",
       {{"kind", "burn"},
        {"year_from", "1994"},
        {"year_to", "1994"},
        {"note", "Grown over with birch and poplar."}},
       outline(seed + 6, local_point(7900, 7650), 520, 330),
       true},
      {"Hobb's Orchard",
       {{"kind", "sprayed_orchard"},
        {"year_from", "1921"},
        {"year_to", "1959"},
        {"note", "Lead arsenate, sprayed until the 1950s."}},
       outline(seed + 7, orchard, 115, 90),
       true},
  };
}

}  // namespace stumpwise::demo
