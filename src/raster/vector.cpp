#include "stumpwise/raster/vector.h"

#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>

#include "gdal.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/base/text.h"

namespace stumpwise::raster {
namespace {

using Shapes = Parsed<std::vector<Shape>>;

std::vector<earth::PlanePoint> points_of(const OGRSimpleCurve& curve) {
  std::vector<earth::PlanePoint> points;
  points.reserve(static_cast<std::size_t>(curve.getNumPoints()));
  for (int i = 0; i < curve.getNumPoints(); ++i) points.push_back({curve.getX(i), curve.getY(i)});
  return points;
}

bool finite(const Shape& shape) {
  for (const auto& ring : shape.rings)
    for (const auto& point : ring)
      if (!std::isfinite(point.x_m) || !std::isfinite(point.y_m)) return false;
  return true;
}

void add_polygon(const OGRPolygon& polygon, std::vector<Shape>& parts) {
  if (polygon.IsEmpty() || polygon.getExteriorRing()->getNumPoints() < 4) return;
  Shape shape{ShapeKind::polygon, {points_of(*polygon.getExteriorRing())}, {}};
  for (int i = 0; i < polygon.getNumInteriorRings(); ++i)
    if (polygon.getInteriorRing(i)->getNumPoints() >= 4)
      shape.rings.push_back(points_of(*polygon.getInteriorRing(i)));
  parts.push_back(std::move(shape));
}

/// Simple parts of a geometry, attributes still empty. What has too few points for its kind gives no part.
void split_geometry(const OGRGeometry& geometry, std::vector<Shape>& parts) {
  const OGRwkbGeometryType type = wkbFlatten(geometry.getGeometryType());
  if (type == wkbPoint) {
    const OGRPoint* point = geometry.toPoint();
    if (!point->IsEmpty()) parts.push_back({ShapeKind::point, {{{point->getX(), point->getY()}}}, {}});
  } else if (type == wkbLineString) {
    if (geometry.toLineString()->getNumPoints() > 1)
      parts.push_back({ShapeKind::line, {points_of(*geometry.toLineString())}, {}});
  } else if (type == wkbPolygon || type == wkbTriangle) {
    add_polygon(*geometry.toPolygon(), parts);
  } else if (const auto* surface = dynamic_cast<const OGRPolyhedralSurface*>(&geometry)) {
    for (int i = 0; i < surface->getNumGeometries(); ++i) split_geometry(*surface->getGeometryRef(i), parts);
  } else if (const auto* collection = dynamic_cast<const OGRGeometryCollection*>(&geometry)) {
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
  return right >= clip.left_m && left <= clip.left_m + clip.cols * clip.cell_m &&
         top >= clip.top_m - clip.rows * clip.cell_m && bottom <= clip.top_m;
}

/// Reads one layer; what is wrong with it goes into the issues, each feature by its number.
class LayerReader {
 public:
  LayerReader(OGRLayer& layer, const std::string& path, int epsg, const Georef* clip, Shapes& result)
      : layer_(layer), path_(path), epsg_(epsg), clip_(clip), result_(result) {}

  void read() {
    if (layer_.GetGeomType() == wkbNone) return;
    const OGRSpatialReference* own = layer_.GetSpatialRef();
    if (!own) {
      if (layer_.GetFeatureCount() != 0)
        issue(Severity::fault, "has no projection, so it is not known where it lies");
      return;
    }
    const OGRSpatialReference from = traditional(*own), to = reference_of(epsg_);
    change_.reset(OGRCreateCoordinateTransformation(&from, &to));
    if (!change_) return issue(Severity::fault, "its projection cannot be brought onto the ground's");
    if (clip_) filter_to_clip(from, to);
    layer_.ResetReading();
    for (const OGRFeatureUniquePtr& feature : layer_) {
      base::check_interrupt();
      read_feature(*feature);
    }
    if (without_place_ > 0)
      issue(Severity::warning, std::to_string(without_place_) + " features have no place and were left out");
  }

 private:
  void issue(Severity severity, const std::string& text) {
    result_.issues.push_back({severity, path_, 0, layer_.GetName(), text});
  }
  void feature_issue(const OGRFeature& feature, const std::string& text) {
    issue(Severity::warning, "feature " + std::to_string(feature.GetFID()) + " " + text);
  }

  /// Features far away are not even brought over: many could not be drawn on the ground's plane.
  void filter_to_clip(const OGRSpatialReference& from, const OGRSpatialReference& to) {
    const GdalErrors errors;
    const std::unique_ptr<OGRCoordinateTransformation> back(OGRCreateCoordinateTransformation(&to, &from));
    if (!back) return;
    const double right = clip_->left_m + clip_->cols * clip_->cell_m,
                 bottom = clip_->top_m - clip_->rows * clip_->cell_m;
    double box[4];
    if (back->TransformBounds(clip_->left_m, bottom, right, clip_->top_m, &box[0], &box[1], &box[2], &box[3],
                              21) != TRUE ||
        box[0] > box[2])
      return;
    layer_.SetSpatialFilterRect(box[0], box[1], box[2], box[3]);
  }

  void read_feature(const OGRFeature& feature) {
    const OGRGeometry* stored = feature.GetGeometryRef();
    if (!stored || stored->IsEmpty()) {
      ++without_place_;
      return;
    }
    const GdalErrors errors;  // what one feature does wrong is no fault of the file
    const OGRGeometryUniquePtr geometry(stored->getLinearGeometry());
    if (!geometry || geometry->transform(change_.get()) != OGRERR_NONE)
      return feature_issue(feature, "lies outside the projection and was left out");
    std::vector<Shape> parts;
    split_geometry(*geometry, parts);
    if (parts.empty()) return feature_issue(feature, "has too few points for its shape and was left out");
    if (parts.front().kind == ShapeKind::polygon && !geometry->IsValid())
      feature_issue(feature, "has an outline that crosses itself: what lies inside is counted by crossings");
    const auto attributes = attributes_of(feature);
    for (Shape& part : parts) {
      if (!finite(part)) {
        feature_issue(feature, "has no finite place and was left out");
        continue;
      }
      if (clip_ && !touches(part, *clip_)) continue;
      part.attributes = attributes;
      result_.value.push_back(std::move(part));
    }
  }

  /// Names in lower case; days as YYYY-MM-DD.
  static std::map<std::string, std::string> attributes_of(const OGRFeature& feature) {
    std::map<std::string, std::string> attributes;
    for (int i = 0; i < feature.GetFieldCount(); ++i) {
      if (!feature.IsFieldSetAndNotNull(i)) continue;
      const OGRFieldDefn* field = feature.GetFieldDefnRef(i);
      std::string text = feature.GetFieldAsString(i);
      if (field->GetType() == OFTDate) std::replace(text.begin(), text.end(), '/', '-');
      attributes[base::lower(field->GetNameRef())] = std::move(text);
    }
    return attributes;
  }

  OGRLayer& layer_;
  const std::string& path_;
  int epsg_;
  const Georef* clip_;
  Shapes& result_;
  std::unique_ptr<OGRCoordinateTransformation> change_;
  long without_place_ = 0;
};

void mark(Grid& grid, int col, int row) {
  if (grid.georef.inside(col, row)) grid.at(col, row) = 1;
}

/// A segment in cells, cut to the grid and a margin of a cell (Liang & Barsky 1984); false where nothing is
/// left.
bool cut_to_grid(const Georef& g, double& u0, double& v0, double& u1, double& v1) {
  const double du = u1 - u0, dv = v1 - v0;
  double first = 0, last = 1;
  const double slope[4] = {-du, du, -dv, dv};
  const double room[4] = {u0 + 1, g.cols + 1 - u0, v0 + 1, g.rows + 1 - v0};
  for (int k = 0; k < 4; ++k) {
    if (slope[k] == 0) {
      if (room[k] < 0) return false;
    } else if (slope[k] < 0) {
      first = std::max(first, room[k] / slope[k]);
    } else {
      last = std::min(last, room[k] / slope[k]);
    }
  }
  if (first > last) return false;
  if (last < 1) u1 = u0 + last * du, v1 = v0 + last * dv;
  if (first > 0) u0 += first * du, v0 += first * dv;
  return true;
}

/// Every cell that a segment touches (Amanatides & Woo 1987): stepping from border to border, so no diagonal
/// slips through.
void mark_segment(Grid& grid, const earth::PlanePoint& a, const earth::PlanePoint& b) {
  const Georef& g = grid.georef;
  double u0 = (a.x_m - g.left_m) / g.cell_m, v0 = (g.top_m - a.y_m) / g.cell_m;
  double u1 = (b.x_m - g.left_m) / g.cell_m, v1 = (g.top_m - b.y_m) / g.cell_m;
  if (!cut_to_grid(g, u0, v0, u1, v1)) return;
  int col = static_cast<int>(std::floor(u0)), row = static_cast<int>(std::floor(v0));
  const int last_col = static_cast<int>(std::floor(u1)), last_row = static_cast<int>(std::floor(v1));
  const double du = u1 - u0, dv = v1 - v0;
  const int step_col = du > 0 ? 1 : -1, step_row = dv > 0 ? 1 : -1;
  auto border = [](double start, double length, int cell, int step) {
    return length == 0 ? 1e300 : ((step > 0 ? cell + 1.0 : static_cast<double>(cell)) - start) / length;
  };
  mark(grid, col, row);
  while (col != last_col || row != last_row) {
    // Once one direction has arrived only the other goes on: rounding can then never lead past the end.
    const double next_col = col == last_col ? 1e301 : border(u0, du, col, step_col);
    const double next_row = row == last_row ? 1e301 : border(v0, dv, row, step_row);
    if (next_col < next_row)
      col += step_col;
    else
      row += step_row;
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
  auto row_at = [&](double y_m) {
    return std::clamp(std::floor((g.top_m - y_m) / g.cell_m), -1.0, g.rows + 0.0);
  };
  const int first = static_cast<int>(std::max(0.0, row_at(top)));
  const int last = static_cast<int>(std::min(g.rows - 1.0, row_at(bottom)));
  std::vector<double> crossings;
  for (int row = first; row <= last; ++row) {
    const double y = g.y_of(row);
    crossings.clear();
    for (const auto& ring : shape.rings) {
      for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        if ((ring[i].y_m > y) == (ring[j].y_m > y)) continue;
        crossings.push_back(ring[i].x_m +
                            (y - ring[i].y_m) / (ring[j].y_m - ring[i].y_m) * (ring[j].x_m - ring[i].x_m));
      }
    }
    std::sort(crossings.begin(), crossings.end());
    for (std::size_t k = 0; k + 1 < crossings.size(); k += 2) {
      const auto from = static_cast<int>(
          std::clamp(std::ceil((crossings[k] - g.left_m) / g.cell_m - 0.5), 0.0, g.cols + 0.0));
      const auto to = static_cast<int>(
          std::clamp(std::floor((crossings[k + 1] - g.left_m) / g.cell_m - 0.5), -1.0, g.cols - 1.0));
      for (int col = from; col <= to; ++col) grid.at(col, row) = 1;
    }
  }
}

/// Squared distance along one line: lower envelope of parabolas (Felzenszwalb & Huttenlocher 2012, Theory of
/// Computing 8:415).
class Envelope {
 public:
  explicit Envelope(std::size_t n) : vertex_(n), from_(n + 1) {}

  /// d[q] = min over p of (q - p)^2 + f[p]; infinite where every f is.
  void run(const std::vector<double>& f, std::vector<double>& d) {
    const int n = static_cast<int>(f.size());
    int k = -1;
    for (int q = 0; q < n; ++q) {
      if (std::isinf(f[q])) continue;
      double s = -1e300;
      while (k >= 0) {
        const int p = vertex_[k];
        s = ((f[q] + static_cast<double>(q) * q) - (f[p] + static_cast<double>(p) * p)) / (2.0 * (q - p));
        if (s > from_[k]) break;
        --k;
      }
      ++k;
      vertex_[k] = q;
      from_[k] = k == 0 ? -1e300 : s;
      from_[k + 1] = 1e300;
    }
    for (int q = 0, i = 0; q < n; ++q) {
      if (k < 0) {
        d[q] = INFINITY;
        continue;
      }
      while (from_[i + 1] < q) ++i;
      d[q] = static_cast<double>(q - vertex_[i]) * (q - vertex_[i]) + f[vertex_[i]];
    }
  }

 private:
  std::vector<int> vertex_;
  std::vector<double> from_;
};

/// Cells up or down to the nearest marked one of the same column; infinite where there is none.
std::vector<float> along_columns(const Grid& marked) {
  const Georef& g = marked.georef;
  std::vector<float> steps(g.size(), INFINITY);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (marked.values[i] != 0 && !std::isnan(marked.values[i]))
      steps[i] = 0;
    else if (i >= static_cast<std::size_t>(g.cols))
      steps[i] = steps[i - g.cols] + 1;
  }
  for (std::size_t i = steps.size(); i-- > 0;)
    if (i + g.cols < steps.size()) steps[i] = std::min(steps[i], steps[i + g.cols] + 1);
  return steps;
}

}  // namespace

Shapes read_shapes(const std::string& path, int epsg, const Georef* clip) {
  Shapes result;
  const Dataset dataset = open_vector(path);
  const bool gpx = std::string(dataset->GetDriverName()) == "GPX";
  const GdalErrors errors;
  for (int i = 0; i < dataset->GetLayerCount(); ++i) {
    OGRLayer& layer = *dataset->GetLayer(i);
    const std::string name = layer.GetName();
    if (gpx && (name == "route_points" || name == "track_points"))
      continue;  // the vertices of the lines once more
    LayerReader(layer, path, epsg, clip, result).read();
  }
  if (errors.failed())
    result.issues.push_back({Severity::fault, path, 0, "", "reading stopped: " + errors.text()});
  return result;
}

Grid rasterise(const std::vector<Shape>& shapes, const Georef& georef) {
  Grid grid(georef, Quantity::flag, 0);
  for (const Shape& shape : shapes) {
    if (shape.rings.empty() || shape.rings.front().empty()) continue;
    const auto& ring = shape.rings.front();
    if (shape.kind == ShapeKind::point && georef.contains(ring.front().x_m, ring.front().y_m))
      mark(grid, georef.col_of(ring.front().x_m), georef.row_of(ring.front().y_m));
    if (shape.kind == ShapeKind::line)
      for (std::size_t i = 1; i < ring.size(); ++i) mark_segment(grid, ring[i - 1], ring[i]);
    if (shape.kind == ShapeKind::polygon) mark_polygon(grid, shape);
  }
  return grid;
}

Grid distance_to(const Grid& marked) {
  const Georef& g = marked.georef;
  Grid distance(g, Quantity::distance_m);
  const std::vector<float> steps = along_columns(marked);
  const auto cols = static_cast<std::size_t>(g.cols);
  base::parallel_ranges(
      static_cast<std::size_t>(g.rows), base::default_threads(), [&](std::size_t begin, std::size_t end) {
        Envelope envelope(cols);
        std::vector<double> f(cols), d(cols);
        for (std::size_t row = begin; row < end; ++row) {
          for (std::size_t col = 0; col < cols; ++col) {
            const double step = steps[row * cols + col];
            f[col] = step * step;
          }
          envelope.run(f, d);
          for (std::size_t col = 0; col < cols; ++col)
            if (!std::isinf(d[col]))
              distance.values[row * cols + col] = static_cast<float>(std::sqrt(d[col]) * g.cell_m);
        }
      });
  return distance;
}

bool inside(const Shape& polygon, double x_m, double y_m) {
  bool in = false;
  for (const auto& ring : polygon.rings)
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
      if ((ring[i].y_m > y_m) != (ring[j].y_m > y_m) &&
          x_m < ring[i].x_m + (y_m - ring[i].y_m) / (ring[j].y_m - ring[i].y_m) * (ring[j].x_m - ring[i].x_m))
        in = !in;
  return in;
}

}  // namespace stumpwise::raster
