#include "access_mask.h"

#include <fmt/format.h>

#include <algorithm>

#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/vector.h"

namespace stumpwise::app {
namespace {

raster::Shape polygon(const std::vector<std::vector<LatLon>>& rings, const earth::Utm& utm) {
  raster::Shape shape;
  shape.kind = raster::ShapeKind::polygon;
  for (const auto& ring : rings) {
    shape.rings.emplace_back();
    for (const LatLon& place : ring) shape.rings.back().push_back(utm.forward(place));
  }
  return shape;
}

std::string why(const records::AccessArea& area, Access access) {
  const std::string name = area.name.empty() ? "an area" : area.name;
  const std::string checked = area.checked ? ", your note last checked on " + base::to_text(*area.checked)
                                           : ", your note has no date";
  if (access == Access::ask)
    return fmt::format(
        "{}: permission expired on {}: ask the owner before you enter (left out of the walk{})", name,
        area.expires ? base::to_text(*area.expires) : "?", checked);
  return fmt::format("{}: {} (left out of the walk{})", name, area.kind, checked);
}

}  // namespace

Access access_on(const records::AccessArea& area, Date date) {
  if (area.kind == "closed" || area.kind == "reserve") return Access::not_allowed;
  if (area.expires && *area.expires < date) return Access::ask;
  return Access::allowed;
}

raster::Grid wall_with_access(const GroundData& data, const std::vector<records::AccessArea>& areas,
                              const records::GroundRecord& ground, const std::vector<Date>& dates,
                              std::vector<std::string>& notes) {
  raster::Grid wall = data.barrier;
  const earth::Utm utm = earth::Utm::from_epsg(ground.epsg);
  std::vector<raster::Shape> shut;
  for (const records::AccessArea& area : areas) {
    for (Date date : dates) {
      const Access access = access_on(area, date);
      if (access == Access::allowed) continue;
      notes.push_back(why(area, access));
      shut.push_back(polygon(area.rings, utm));
      break;
    }
  }
  if (!shut.empty()) {
    const raster::Grid marked = raster::rasterise(shut, wall.georef);
    for (std::size_t i = 0; i < wall.values.size(); ++i)
      if (marked.values[i] > 0) wall.values[i] = 1;
  }
  notes.push_back("Land without a note of yours: unknown, ask the owner.");
  return wall;
}

std::vector<std::string> history_at(const std::vector<records::HistoryArea>& areas, const LatLon& place) {
  const earth::Utm utm = earth::Utm::for_place(place);
  const auto point = utm.forward(place);
  std::vector<std::string> words;
  for (const records::HistoryArea& area : areas) {
    if (!raster::inside(polygon(area.rings, utm), point.x_m, point.y_m)) continue;
    std::string text = area.name + ": " + area.kind;
    std::replace(text.begin(), text.end(), '_', ' ');
    if (area.year_to) text += fmt::format(" until {}", *area.year_to);
    if (area.kind == "sprayed_orchard" || area.kind == "mine" || area.kind == "treated_verge")
      text += ": voucher only: possible lead/arsenic; cooking does not remove metals";
    if (area.kind == "fallout") text += ": voucher only: radiocaesium; cooking does not remove it";
    words.push_back(text);
  }
  return words;
}

}  // namespace stumpwise::app
