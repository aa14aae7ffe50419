#pragma once
#include <string>
#include <utility>
#include <vector>

#include "relief.h"

namespace stumpwise::demo {

/// Attributes of a feature; a value of digits only is written as a number.
using Attributes = std::vector<std::pair<std::string, std::string>>;

/// A GeoJSON feature collection (RFC 7946: WGS 84, longitude first), as text.
class FeatureCollection {
 public:
  explicit FeatureCollection(const std::string& name);
  void point(const PlanePoint& at, const Attributes& attributes);
  void line(const std::vector<PlanePoint>& points, const Attributes& attributes);
  /// A closed ring; written counterclockwise as the format asks.
  void polygon(std::vector<PlanePoint> ring, const Attributes& attributes);
  std::string text() const { return text_ + "\n]}\n"; }

 private:
  void feature(const std::string& type, const std::string& coordinates, const Attributes& attributes);
  std::string text_;
  bool first_ = true;
};

}  // namespace stumpwise::demo
