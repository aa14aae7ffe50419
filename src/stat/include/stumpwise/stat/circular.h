#pragma once
#include <vector>

/// Statistics of directions and of days of the year (angles in radians, 2 pi = one turn or one year).
namespace stumpwise::stat {

/// Zar 2010, Biostatistical Analysis, chapters 26 and 27: with X = sum w cos a / n, Y = sum w sin a / n,
///   r = sqrt(X^2 + Y^2), mean = atan2(Y, X), z = n r^2.
/// "Circular standard deviation" has two definitions that differ (34 and 36 degrees in Zar's example 26.4):
/// both stand here.
struct CircularSummary {
  double mean_rad = 0;               ///< 0 to 2 pi; of no meaning where resultant is 0
  double resultant = 0;              ///< r, 0 (spread evenly) to 1 (all alike)
  double angular_deviation_rad = 0;  ///< sqrt(2 (1 - r)), Zar's s: 0 to sqrt 2
  double circular_sd_rad = 0;        ///< sqrt(-2 ln r), Zar's s0: 0 to infinity
  double rayleigh_z = 0;             ///< n r^2
};
/// `weights` (counts, >= 0) may be empty: then each angle counts once. No angles, or no weight in all:
/// everything 0. Throws Error(bad_value) where there are not as many weights as angles or one is negative or
/// not finite.
CircularSummary circular_summary(const std::vector<double>& angles_rad,
                                 const std::vector<double>& weights = {});
/// Factor by which r of data grouped in classes of `width_rad` (0 to 2 pi) is multiplied: (d/2) / sin(d/2)
/// (Zar 2010, eq. 26.16).
double grouping_correction(double width_rad);

/// Density of the von Mises distribution exp(kappa cos(a - mean)) / (2 pi I0(kappa)) per radian; kappa >= 0.
double von_mises_density(double angle_rad, double mean_rad, double kappa);
/// A(kappa) = I1(kappa) / I0(kappa), the resultant of a von Mises distribution (0 for kappa <= 0). Above 500,
/// where the Bessel functions overflow, its asymptotic series, whose error is below 1e-10 there.
double von_mises_resultant(double kappa);
/// The inverse, by Newton's method from the start values of Fisher 1993, Statistical Analysis of Circular
/// Data, eq. 4.40. 0 for r <= 0; r above 0.999999 is taken as that (kappa 5e5: a spread of 0.08 degrees).
double von_mises_kappa(double resultant);
/// Concentration whose resultant is that of a wrapped normal with the given standard deviation, r = exp(-sd^2
/// / 2).
double kappa_from_sd(double sd_rad);

}  // namespace stumpwise::stat
