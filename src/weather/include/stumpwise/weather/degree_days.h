#pragma once

namespace stumpwise::weather {

/// Degree-days of one day by a single sine between its extremes (Baskerville & Emin 1969). Any unit; 0 below the threshold.
double single_sine(double tmin, double tmax, double threshold);
/// With a horizontal cut-off: warmth above `upper` adds nothing more.
double single_sine_cut(double tmin, double tmax, double threshold, double upper);
double single_triangle(double tmin, double tmax, double threshold);
double simple_average(double tmean, double threshold);
/// Rule of four cases: tmin >= base: mean - base; mean >= base: (tmax - base)/2 - (base - tmin)/4; tmax > base: (tmax - base)/4; else 0.
double four_case(double tmin, double tmax, double base);

}  // namespace stumpwise::weather
