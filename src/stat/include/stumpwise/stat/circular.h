#pragma once
#include <vector>

/// Statistics of directions and of days of the year (angles in radians).
namespace stumpwise::stat {

struct CircularSummary {
  double mean_rad = 0;            ///< 0 to 2 pi
  double resultant = 0;           ///< r, 0 to 1
  double angular_deviation_rad = 0;  ///< sqrt(2 (1 - r)), Zar's s
  double circular_sd_rad = 0;     ///< sqrt(-2 ln r), Zar's s0: the other definition of "circular SD"
  double rayleigh_z = 0;          ///< n r^2
};
/// Zar 2010, chapter 26. Empty input: all 0. `weights` (counts) may be empty.
CircularSummary circular_summary(const std::vector<double>& angles_rad, const std::vector<double>& weights = {});
/// Correction of r for data grouped in classes of `width_rad` (Zar 2010, eq. 26.16): (d/2) / sin(d/2).
double grouping_correction(double width_rad);

/// A(kappa) = I1/I0 of the von Mises distribution, and its inverse by Newton's method (Fisher 1993 start values).
double von_mises_resultant(double kappa);
double von_mises_kappa(double resultant);
/// Concentration whose resultant is that of a wrapped normal with the given standard deviation.
double kappa_from_sd(double sd_rad);

}  // namespace stumpwise::stat
