#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/earth/projection.h"
#include "stumpwise/picture/image.h"
#include "stumpwise/picture/ramp.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::picture {

struct MapLine {
  std::vector<earth::PlanePoint> points;
  bool way_back = false;  ///< drawn dashed
};
struct MapStop {
  earth::PlanePoint place;
  std::string number;  ///< "1", "2", ... in a disc
  std::string note;    ///< small text beside it ("back by 11:40"); may be empty
};

/// Everything that a map picture of a walk shows. Pointers may be null except `dem`; all grids lie on the
/// same cells.
struct MapContent {
  const raster::Grid* dem = nullptr;
  const raster::Grid* prospect = nullptr;      ///< finds per hectare, median
  const raster::Grid* extrapolated = nullptr;  ///< not 0: hatched
  const raster::Grid* wall = nullptr;          ///< not 0: nobody walks here
  const raster::Grid* water = nullptr;         ///< not 0: water (also drawn where no wall is)
  std::vector<MapLine> route;
  std::vector<MapStop> stops;
  std::optional<earth::PlanePoint> start, end;  ///< end: only where it differs from the start
  std::string legend_title = "expected finds per hectare (median)";
  std::string title;  ///< read out by screen readers
  double convergence_deg =
      0;  ///< of the grid: true north is turned by -convergence against the picture's top
};

struct MapStyle {
  int width_px = 1100;        ///< of the picture; height follows from the land shown
  double margin_m = 250;      ///< around the route when `whole_ground` is false
  bool whole_ground = false;  ///< else cut to the route and stops
  bool legend = true;
  bool contours = true;
  int threads = 1;
};

/// The land that is shown: whole cells around route, stops and start with the margin, at least 500 m a side,
/// at most the ground.
raster::Georef map_frame(const MapContent& content, const MapStyle& style);

/// SVG 1.1, no script, no outside reference: relief and prospect as one embedded PNG, above it contours,
/// route (cased dark line with arrow heads; dashed on the way back), numbered stops, start, scale bar, north
/// arrow and legend as vectors with text. All texts are escaped. Throws Error(internal) where `dem` is
/// missing or grids differ.
std::string map_svg(const MapContent& content, const MapStyle& style = {});

/// The same as a picture, for where no vectors can be shown: numerals and letters from a small built-in font.
Image map_image(const MapContent& content, const MapStyle& style = {});

/// Length of a scale bar: 1, 2 or 5 times a power of ten metres, at most `longest_m` (> 0).
double scale_bar_m(double longest_m);

}  // namespace stumpwise::picture
