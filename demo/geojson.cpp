#include "geojson.h"

#include <fmt/format.h>

#include <algorithm>

#include "stumpwise/base/text.h"

namespace stumpwise::demo {
namespace {

std::string quoted(const std::string& text) {
  std::string result = "\"";
  for (char c : base::printable(text)) {
    if (c == '"' || c == '\\') result += '\\';
    result += c;
  }
  return result + "\"";
}

std::string value_text(const std::string& text) {
  const bool digits = !text.empty() && text.find_first_not_of("0123456789") == std::string::npos;
  return digits ? text : quoted(text);
}

std::string position(const PlanePoint& point) {
  const LatLon place = lat_lon(point);
  return fmt::format("[{:.7f},{:.7f}]", place.lon_deg, place.lat_deg);
}

std::string positions(const std::vector<PlanePoint>& points) {
  std::string text = "[";
  for (std::size_t i = 0; i < points.size(); ++i) text += (i ? "," : "") + position(points[i]);
  return text + "]";
}

}  // namespace

FeatureCollection::FeatureCollection(const std::string& name)
    : text_("{\"type\":\"FeatureCollection\",\"name\":" + quoted(name) +
            ",\"description\":\"Invented: the Ennoway Vale demo\",\"features\":[") {}

void FeatureCollection::feature(const std::string& type, const std::string& coordinates,
                                const Attributes& attributes) {
  text_ += first_ ? "\n" : ",\n";
  first_ = false;
  text_ += "{\"type\":\"Feature\",\"properties\":{";
  for (std::size_t i = 0; i < attributes.size(); ++i)
    text_ += (i ? "," : "") + quoted(attributes[i].first) + ":" + value_text(attributes[i].second);
  text_ += "},\"geometry\":{\"type\":\"" + type + "\",\"coordinates\":" + coordinates + "}}";
}

void FeatureCollection::point(const PlanePoint& at, const Attributes& attributes) {
  feature("Point", position(at), attributes);
}

void FeatureCollection::line(const std::vector<PlanePoint>& points, const Attributes& attributes) {
  feature("LineString", positions(points), attributes);
}

void FeatureCollection::polygon(std::vector<PlanePoint> ring, const Attributes& attributes) {
  double area = 0;
  for (std::size_t i = 0; i + 1 < ring.size(); ++i)
    area += ring[i].x_m * ring[i + 1].y_m - ring[i + 1].x_m * ring[i].y_m;
  if (area < 0) std::reverse(ring.begin(), ring.end());
  feature("Polygon", "[" + positions(ring) + "]", attributes);
}

}  // namespace stumpwise::demo
