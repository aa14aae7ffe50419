#pragma once
#include <map>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::raster {

enum class ShapeKind { point, line, polygon };

/// One simple part of a vector layer in a metric plane. Multi-geometries are split into parts that share
/// attributes.
struct Shape {
  ShapeKind kind = ShapeKind::point;
  std::vector<std::vector<earth::PlanePoint>>
      rings;  ///< point: one ring of one; line: one ring; polygon: outer, holes
  std::map<std::string, std::string> attributes;  ///< names in lower case
};

/// Reads every layer of a vector file that GDAL reads (GeoPackage, GeoJSON, Shapefile, KML, GPX) into `epsg`.
/// Shapes wholly outside `clip` (where given, its extent) are left out. A file without coordinate system is a
/// fault.
Parsed<std::vector<Shape>> read_shapes(const std::string& path, int epsg, const Georef* clip = nullptr);

/// 1 in cells that a shape covers (polygon: centre inside; line: touched, so that no diagonal step slips
/// through; point: its cell), else 0.
Grid rasterise(const std::vector<Shape>& shapes, const Georef& georef);
/// Distance in metres from each cell's centre to the nearest cell that is not 0 (exact Euclidean,
/// Felzenszwalb & Huttenlocher 2012); NaN everywhere where there is none.
Grid distance_to(const Grid& marked);
bool inside(const Shape& polygon, double x_m, double y_m);

}  // namespace stumpwise::raster
