#pragma once
#include "stumpwise/raster/grid.h"

/// What the 3 x 3 window tells beyond the slope: how the ground bends, and whether it stands above its
/// neighbours.
///
/// The surface z = A x2y2 + B x2y + C xy2 + D x2 + E y2 + F xy + G x + H y + I through all nine heights
/// (Zevenbergen & Thorne 1987, Earth Surf. Process. Landforms 12:47; x to the east, y to the north) has at
/// its centre, per metre,
///   profile curvature  -2 (D G2 + E H2 + F G H) / (G2 + H2)   along the slope: positive where it bulges
///   (steepens downhill) plan curvature      2 (D H2 + E G2 - F G H) / (G2 + H2)   along the contour:
///   positive where water comes together
/// (coefficients checked against published numbers, see the test; the signs of the two from memory of the
/// paper). Both are second derivatives of height, not curvatures of a line: on steep ground they are larger
/// than the inverse of a radius.
namespace stumpwise::terrain {

/// Coefficients of the surface at the window's centre.
struct Bend {
  double d_per_m = 0, e_per_m = 0, f_per_m = 0;  ///< halves of the second derivatives (F: the mixed one)
  double g = 0, h = 0;                           ///< rise over run, to the east and to the north
};
/// `z`: the window, row by row from the north-west; `cell_m` > 0.
Bend bend(const double (&z)[9], double cell_m);
double profile_curvature_per_m(const Bend& bend);  ///< 0 on flat ground, which has no direction of slope
double plan_curvature_per_m(const Bend& bend);

struct Curvature {
  raster::Grid plan_per_m, profile_per_m;
};
/// Edges and holes as in slope_aspect(). The same for any number of threads.
Curvature curvature(const raster::Grid& dem, int threads);

/// Height above the mean of the neighbours, up to eight of them, in metres (topographic position index as in
/// Wilson et al. 2007, Marine Geodesy 30:3). The cell itself does not enter the mean, unlike in position(). A
/// cell without any neighbour is 0.
raster::Grid position_3x3(const raster::Grid& dem, int threads);

}  // namespace stumpwise::terrain
