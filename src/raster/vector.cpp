#include "stumpwise/raster/vector.h"

#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>

#include "gdal.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/text.h"

namespace stumpwise::raster {
namespace {

std::vector<earth::PlanePoint> points_of(const OGRSimpleCurve& curve) {
  std::vector<earth::PlanePoint> points;
  for (int i = 0; i < curve.getNumPoints(); ++i) points.push_back({curve.getX(i), curve.getY(i)});
  return points;
}

bool finite(const Shape& shape) {
  for (const auto& ring : shape.rings)
    for (const auto& point : ring)
      if (!std::isfinite(point.x_m) || !std::isfinite(point.y_m)) return false;
  return true;
}

/// Simple parts of a geometry, attributes still empty.
void split_geometry(const OGRGeometry& geometry, std::vector<Shape>& parts) {
  switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint: {
      const OGRPoint* point = geometry.toPoint();
      if (!point->IsEmpty()) parts.push_back({ShapeKind::point, {{{point->getX(), point->getY()}}}, {}});
      break;
    }
    case wkbLineString:
      if (geometry.toLineString()->getNumPoints() > 1) parts.push_back({ShapeKind::line, {points_of(*geometry.toLineString())}, {}});
      break;
    case wkbPolygon: {
      const OGRPolygon* polygon = geometry.toPolygon();
      if (polygon->IsEmpty()) break;
      Shape shape{ShapeKind::polygon, {points_of(*polygon->getExteriorRing())}, {}};
      for (int i = 0; i < polygon->getNumInteriorRings(); ++i) shape.rings.push_back(points_of(*polygon->getInteriorRing(i)));
      parts.push_back(std::move(shape));
      break;
    }
    default:
      if (const auto* collection = dynamic_cast<const OGRGeometryCollection*>(&geometry))
        for (const OGRGeometry* part : *collection) split_geometry(*part, parts);
  }
}

bool touches(const Shape& shape, const Georef& clip) {
  double left = 1e300, right = -1e300, bottom = 1e300, top = -1e300;
  for (const auto& point : shape.rings.front()) {
    left = std::min(left, point.x_m);
    right = std::max(right, point.x_m);
    bottom = std::min(bottom, point.y_m);
    top = std::max(top, point.y_m);
  }
  return right >= clip.left_m && left <= clip.left_m + clip.cols * clip.cell_m && top >= clip.top_m - clip.rows * clip.cell_m && bottom <= clip.top_m;
}

void read_layer(OGRLayer& layer, const std::string& path, int epsg, const Georef* clip, Parsed<std::vector<Shape>>& result) {
  const OGRSpatialReference* own = layer.GetSpatialRef();
  if (!own) {
    result.issues.push_back({Severity::fault, path, 0, layer.GetName(), "has no projection, so it is not known where it lies"});
    return;
  }
  OGRSpatialReference from(*own), to = reference_of(epsg);
  from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  const std::unique_ptr<OGRCoordinateTransformation> change(OGRCreateCoordinateTransformation(&from, &to));
  if (!change) {
    result.issues.push_back({Severity::fault, path, 0, layer.GetName(), "its projection cannot be brought onto the ground's"});
    return;
  }
  layer.ResetReading();
  for (const OGRFeatureUniquePtr& feature : layer) {
    base::check_interrupt();
    const OGRGeometry* stored = feature->GetGeometryRef();
    if (!stored || stored->IsEmpty()) continue;
    OGRGeometryUniquePtr geometry(stored->getLinearGeometry());
    if (geometry->transform(change.get()) != OGRERR_NONE) {
      result.issues.push_back({Severity::warning, path, 0, layer.GetName(), "feature " + std::to_string(feature->GetFID()) + " lies outside the projection and was left out"});
      continue;
    }
    std::map<std::string, std::string> attributes;
    for (int i = 0; i < feature->GetFieldCount(); ++i)
      if (feature->IsFieldSetAndNotNull(i)) attributes[base::lower(feature->GetFieldDefnRef(i)->GetNameRef())] = feature->GetFieldAsString(i);
    std::vector<Shape> parts;
    split_geometry(*geometry, parts);
    for (Shape& part : parts) {
      if (!finite(part)) {
        result.issues.push_back({Severity::warning, path, 0, layer.GetName(), "feature " + std::to_string(feature->GetFID()) + " has no finite place and was left out"});
        continue;
      }
      if (clip && !touches(part, *clip)) continue;
      part.attributes = attributes;
      result.value.push_back(std::move(part));
    }
  }
}

void mark(Grid& grid, int col, int row) {
  if (grid.georef.inside(col, row)) grid.at(col, row) = 1;
}

/// Every cell that a segment touches (Amanatides & Woo 1987): stepping from border to border, so no diagonal slips through.
void mark_segment(Grid& grid, const earth::PlanePoint& a, const earth::PlanePoint& b) {
  const Georef& g = grid.georef;
  const double u0 = (a.x_m - g.left_m) / g.cell_m, v0 = (g.top_m - a.y_m) / g.cell_m;
  const double u1 = (b.x_m - g.left_m) / g.cell_m, v1 = (g.top_m - b.y_m) / g.cell_m;
  // Far outside the grid nothing is marked, and the steps would be without end.
  if (std::max(u0, u1) < 0 || std::min(u0, u1) > g.cols || std::max(v0, v1) < 0 || std::min(v0, v1) > g.rows) return;
  int col = static_cast<int>(std::floor(u0)), row = static_cast<int>(std::floor(v0));
  const int last_col = static_cast<int>(std::floor(u1)), last_row = static_cast<int>(std::floor(v1));
  const double du = u1 - u0, dv = v1 - v0;
  const int step_col = du > 0 ? 1 : -1, step_row = dv > 0 ? 1 : -1;
  auto border = [](double start, double length, int cell, int step) {
    return length == 0 ? 1e300 : ((step > 0 ? cell + 1.0 : static_cast<double>(cell)) - start) / length;
  };
  double next_col = border(u0, du, col, step_col), next_row = border(v0, dv, row, step_row);
  mark(grid, col, row);
  const long most = std::labs(static_cast<long>(last_col) - col) + std::labs(static_cast<long>(last_row) - row);
  for (long i = 0; i < most; ++i) {
    if (next_col < next_row) {
      col += step_col;
      next_col = border(u0, du, col, step_col);
    } else {
      row += step_row;
      next_row = border(v0, dv, row, step_row);
    }
    mark(grid, col, row);
  }
}

/// Even-odd fill by scan lines through the cell centres.
void mark_polygon(Grid& grid, const Shape& shape) {
  const Georef& g = grid.georef;
  double top = -1e300, bottom = 1e300;
  for (const auto& point : shape.rings.front()) {
    top = std::max(top, point.y_m);
    bottom = std::min(bottom, point.y_m);
  }
  const int first = std::max(0, g.row_of(top)), last = std::min(g.rows - 1, g.row_of(bottom));
  std::vector<double> crossings;
  for (int row = first; row <= last; ++row) {
    const double y = g.y_of(row);
    crossings.clear();
    for (const auto& ring : shape.rings) {
      for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        if ((ring[i].y_m > y) == (ring[j].y_m > y)) continue;
        crossings.push_back(ring[i].x_m + (y - ring[i].y_m) / (ring[j].y_m - ring[i].y_m) * (ring[j].x_m - ring[i].x_m));
      }
    }
    std::sort(crossings.begin(), crossings.end());
    for (std::size_t k = 0; k + 1 < crossings.size(); k += 2) {
      const int from = std::max(0, static_cast<int>(std::ceil((crossings[k] - g.left_m) / g.cell_m - 0.5)));
      const int to = std::min(g.cols - 1, static_cast<int>(std::floor((crossings[k + 1] - g.left_m) / g.cell_m - 0.5)));
      for (int col = from; col <= to; ++col) grid.at(col, row) = 1;
    }
  }
}

/// Squared distance along one line: lower envelope of parabolas (Felzenszwalb & Huttenlocher 2012, Theory of Computing 8:415).
void envelope(const std::vector<double>& f, std::vector<double>& d, std::vector<int>& v, std::vector<double>& z) {
  const int n = static_cast<int>(f.size());
  int k = -1;
  for (int q = 0; q < n; ++q) {
    if (std::isinf(f[q])) continue;
    double s = 0;
    while (k >= 0) {
      s = ((f[q] + static_cast<double>(q) * q) - (f[v[k]] + static_cast<double>(v[k]) * v[k])) / (2.0 * q - 2.0 * v[k]);
      if (s > z[k]) break;
      --k;
    }
    ++k;
    v[k] = q;
    z[k] = k == 0 ? -1e300 : s;
    z[k + 1] = 1e300;
  }
  if (k < 0) {
    std::fill(d.begin(), d.end(), INFINITY);
    return;
  }
  for (int q = 0, i = 0; q < n; ++q) {
    while (z[i + 1] < q) ++i;
    d[q] = static_cast<double>(q - v[i]) * (q - v[i]) + f[v[i]];
  }
}

}  // namespace

Parsed<std::vector<Shape>> read_shapes(const std::string& path, int epsg, const Georef* clip) {
  Parsed<std::vector<Shape>> result;
  const Dataset dataset = open_vector(path);
  const GdalErrors errors;
  for (int i = 0; i < dataset->GetLayerCount(); ++i) read_layer(*dataset->GetLayer(i), path, epsg, clip, result);
  if (errors.failed()) result.issues.push_back({Severity::fault, path, 0, "", base::printable(errors.text())});
  return result;
}

Grid rasterise(const std::vector<Shape>& shapes, const Georef& georef) {
  Grid grid(georef, Quantity::flag, 0);
  for (const Shape& shape : shapes) {
    const auto& ring = shape.rings.front();
    if (shape.kind == ShapeKind::point) mark(grid, georef.col_of(ring.front().x_m), georef.row_of(ring.front().y_m));
    if (shape.kind == ShapeKind::line)
      for (std::size_t i = 1; i < ring.size(); ++i) mark_segment(grid, ring[i - 1], ring[i]);
    if (shape.kind == ShapeKind::polygon) mark_polygon(grid, shape);
  }
  return grid;
}

Grid distance_to(const Grid& marked) {
  const Georef& g = marked.georef;
  Grid distance(g, Quantity::distance_m);
  std::vector<double> squared(g.size());
  for (std::size_t i = 0; i < squared.size(); ++i) squared[i] = marked.values[i] > 0 ? 0.0 : INFINITY;
  const auto longest = static_cast<std::size_t>(std::max(g.cols, g.rows));
  std::vector<double> z(longest + 1);
  std::vector<int> v(longest);
  std::vector<double> f(static_cast<std::size_t>(g.rows)), d(static_cast<std::size_t>(g.rows));
  for (int col = 0; col < g.cols; ++col) {
    for (int row = 0; row < g.rows; ++row) f[row] = squared[g.index(col, row)];
    envelope(f, d, v, z);
    for (int row = 0; row < g.rows; ++row) squared[g.index(col, row)] = d[row];
  }
  f.resize(static_cast<std::size_t>(g.cols));
  d.resize(static_cast<std::size_t>(g.cols));
  for (int row = 0; row < g.rows; ++row) {
    for (int col = 0; col < g.cols; ++col) f[col] = squared[g.index(col, row)];
    envelope(f, d, v, z);
    for (int col = 0; col < g.cols; ++col)
      if (!std::isinf(d[col])) distance.at(col, row) = static_cast<float>(std::sqrt(d[col]) * g.cell_m);
  }
  return distance;
}

bool inside(const Shape& polygon, double x_m, double y_m) {
  bool in = false;
  for (const auto& ring : polygon.rings)
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
      if ((ring[i].y_m > y_m) != (ring[j].y_m > y_m) && x_m < ring[i].x_m + (y_m - ring[i].y_m) / (ring[j].y_m - ring[i].y_m) * (ring[j].x_m - ring[i].x_m)) in = !in;
  return in;
}

}  // namespace stumpwise::raster
