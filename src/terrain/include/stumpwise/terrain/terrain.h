#pragma once
#include "stumpwise/raster/grid.h"

namespace stumpwise::terrain {

/// Elevation minus the mean elevation within `radius_m` (square window by summed-area table), metres.
raster::Grid position(const raster::Grid& dem, double radius_m, int threads);

/// Depressions filled to their spill point plus a tiny gradient (Barnes, Lehman & Mulla 2014, Comput. Geosci.
/// 62:117).
raster::Grid fill_depressions(const raster::Grid& dem);
/// Upslope cells that drain through each cell, itself included; single flow (O'Callaghan & Mark 1984) on the
/// filled DEM.
raster::Grid flow_accumulation(const raster::Grid& filled);
/// Wetness index ln(a / tan beta) (Beven & Kirkby 1979): a = specific catchment area in m (multiple flow,
/// Freeman 1991, exponent 1.1), beta the local slope, floored at 0.1 degrees.
raster::Grid wetness_index(const raster::Grid& dem, const raster::Grid& slope_deg);
double wetness_index(double specific_area_m, double slope_deg);

/// Heat load by equation 1, 2 or 3 of McCune & Keon (2002, J. Veg. Sci. 13:603), aspect folded about the
/// NE-SW line. Valid: eq. 1 latitude 0-60 N, slope 0-90; eq. 2 slope 0-60; eq. 3 latitude 30-60 N, slope
/// 0-60. Outside: Error(bad_value). The southern hemisphere is mirrored (latitude |L|, aspect 180 - aspect).
double heat_load(int equation, double latitude_deg, double slope_deg, double aspect_deg);
raster::Grid heat_load(const raster::Grid& slope_deg, const raster::Grid& aspect_deg, double latitude_deg,
                       int threads);

}  // namespace stumpwise::terrain
