#pragma once

/// Soil temperature from air temperature, day by day.
///
/// Katterer & Andren 2009 (Predicting daily soil temperature profiles in arable soils in cold temperate
/// regions from air temperature and leaf area index, Acta Agric. Scand. B 59:77; equations as in the authors'
/// group's own package):
///   surface = 0.20 T for T < 0, else T (0.95 + 0.05 exp(-0.4 (LAI - 3))),  LAI = 0.8 GAI
///   soil   += (surface - soil) 0.24 exp(-0.017 z) exp(-0.15 GAI),          z = middle of the layer in cm =
///   layer mm / 20
/// Made for farmland to 50 cm in cold temperate regions; used here under trees, where it is an extrapolation.
/// Temperatures degC, daily means.
namespace stumpwise::weather {

double surface_degc(double air_degc, double green_area_index);
/// Share of the difference to the surface that a day makes up, 0 to 0.24.
double soil_gain(double layer_mm, double green_area_index);
double next_soil_degc(double soil_degc, double air_degc, double layer_mm, double green_area_index);

/// Depth at which a wave of the given period has fallen to 1/e: sqrt(2 Dh / omega), Dh = thermal diffusivity
/// (Hillel 1982); 0.1 m for the day and 2 m for the year in common soils.
double damping_depth_m(double diffusivity_m2_per_s, double period_days);
/// What is left of the wave at a depth: exp(-z / D).
double damping_factor(double depth_m, double damping_depth_m);
/// How much later the wave arrives there: period z / (2 pi D), days.
double damping_lag_days(double depth_m, double damping_depth_m, double period_days);

}  // namespace stumpwise::weather
