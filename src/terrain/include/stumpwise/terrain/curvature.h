#pragma once
#include "stumpwise/raster/grid.h"

/// What the 3 x 3 window tells beyond the slope: how the ground bends, and whether it stands above its
/// neighbours.
///
/// The surface z = A x2y2 + B x2y + C xy2 + D x2 + E y2 + F xy + G x + H y + I through all nine heights
/// (Zevenbergen & Thorne 1987, Earth Surf. Process. Landforms 12:47; x to the east, y to the north) has at
/// its centre, per metre,
///
///   profile curvature, along the slope, positive where it bulges:
///   -2 (D G2 + E H2 + F G H) / (G2 + H2)
///
///   plan curvature, along the contour, positive where water comes together:
///   2 (D H2 + E G2 - F G H) / (G2 + H2)
///
/// Formulas and signs from memory of the paper; held against another program's files in the test. Both are
/// second derivatives of height, not curvatures of a line: the curvature of the profile line is this over
/// (1 + s2)^1.5, that of the contour line this over s (s the slope as rise over run), and some programs
/// count the latter positive where water spreads.
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
