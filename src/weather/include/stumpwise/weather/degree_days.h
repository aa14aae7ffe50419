#pragma once

/// Warmth of one day above a threshold, in the unit of the temperatures that go in times days (degC d from
/// degC, degF d from degF). All return 0 where the whole day is at or below the threshold. The caller sees to
/// tmin <= tmax.
///
/// Where the day is wholly above the threshold all rules but simple_average's own mean agree: mean less
/// threshold.
namespace stumpwise::weather {

/// Single sine (Baskerville & Emin 1969, Ecology 50:514): the day is a sine wave between its extremes, mean
/// m, amplitude a:
///   [(m - T)(pi/2 - theta) + a cos theta] / pi,  theta = asin((T - m) / a)
double single_sine(double tmin, double tmax, double threshold);
/// The same with a *horizontal* cut-off: above `upper` a degree adds nothing more and takes nothing away, so
/// a day wholly above `upper` counts upper - threshold (35 to 40 with 12 and 33: 21). Other rules (vertical,
/// intermediate) give less.
double single_sine_cut(double tmin, double tmax, double threshold, double upper);
/// Single triangle: straight lines between the extremes; (tmax - T)^2 / (2 (tmax - tmin)) where T lies
/// between.
double single_triangle(double tmin, double tmax, double threshold);
/// Mean less threshold, not below 0.
double simple_average(double tmean, double threshold);
/// Rule of four cases as Met Eireann uses it: tmin >= base: mean - base; else mean >= base: (tmax - base)/2 -
/// (base - tmin)/4; else tmax > base: (tmax - base)/4; else 0. Continuous in all of them.
double four_case(double tmin, double tmax, double base);

}  // namespace stumpwise::weather
