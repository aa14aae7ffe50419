#pragma once
#include <vector>

#include "stumpwise/earth/projection.h"
#include "stumpwise/picture/image.h"
#include "stumpwise/raster/grid.h"
#include "stumpwise/terrain/slope.h"

namespace stumpwise::picture {

/// Brightness of a slope under a distant lamp, 0 to 255 (0 where it faces away):
///   255 (cos Z cos S + sin Z sin S cos(A - aspect)),  Z zenith angle and A azimuth of the lamp, S slope
///   (Horn 1981).
/// Published: check-values.md T11, 154.0287 for its window. Flat ground gives 255 cos Z.
double hillshade(const terrain::Gradient& gradient, double azimuth_deg, double altitude_deg);

struct ReliefStyle {
  bool many_lamps =
      true;  ///< four lamps, weighted by how much each grazes the slope (Mark 1992, USGS OFR 92-422)
  double azimuth_deg = 315;  ///< of the single lamp
  double altitude_deg = 45;
  double exaggeration = 1.5;    ///< of heights: gentle woodland relief stays readable
  Colour paper{250, 248, 242};  ///< full light
  Colour shade{84, 88, 84};     ///< no light
};
/// One pixel a cell; nodata is transparent. The same for any number of threads.
Image relief_image(const raster::Grid& dem, const ReliefStyle& style = {}, int threads = 1);

/// One line of equal height in the grid's plane.
struct Contour {
  double height_m = 0;
  bool index = false;  ///< every fifth
  std::vector<earth::PlanePoint> line;
};
/// Marching squares between cell centres; the saddle is decided by the mean of its four corners. Lines end at
/// the edge and at nodata. `step_m` > 0, else Error(bad_value).
std::vector<Contour> contours(const raster::Grid& dem, double step_m);
/// A round step (1, 2, 5 times a power of ten, 1 m at least) that gives about 15 lines over the relief.
double contour_step_m(const raster::Grid& dem);

}  // namespace stumpwise::picture
