#pragma once
// Private to picture: what lies where on a map, in pixels, worked out once for vectors and pixels alike.
#include <string>
#include <vector>

#include "canvas.h"
#include "stumpwise/picture/map.h"

namespace stumpwise::picture {

struct SceneContour {
  std::vector<Point> line;
  bool index = false;
  std::string label;  ///< empty: none
  Point label_at;
  double label_turn_deg = 0;
};
struct SceneStop {
  Point at;
  std::string number, note;
  Point note_at;
  Anchor note_anchor = Anchor::left;
};
struct Scene {
  int width = 0, map_height = 0, height = 0;
  Image base;  ///< relief, water, prospect, walls; `width` x `map_height`, opaque
  std::vector<SceneContour> contours;
  std::vector<std::vector<Point>> route;
  std::vector<bool> dashed;
  std::vector<SceneStop> stops;
  bool has_start = false, has_end = false;
  Point start, end;
  double bar_px = 0;
  std::string bar_label;
  double north_turn_deg = 0;
  double contour_step_m = 0;
  bool has_prospect = false, has_extrapolated = false, has_wall = false, has_water = false, has_route = false,
       legend = false;
  std::string legend_title;
  std::vector<RampStep> ramp;
};

/// Throws Error(internal) where the DEM is missing or grids differ.
Scene make_scene(const MapContent& content, const MapStyle& style);
/// Everything above the base picture.
void draw_scene(Canvas& canvas, const Scene& scene);

/// Douglas & Peucker 1973: no point of the line is further than `tolerance` from the result.
std::vector<Point> simplified(const std::vector<Point>& line, double tolerance);

}  // namespace stumpwise::picture
