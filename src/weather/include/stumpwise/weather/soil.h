#pragma once

/// Soil water, soil temperature, snow and dead wood: one step of a day each, pure functions.
namespace stumpwise::weather {

/// Total available water of the root zone, mm: 1000 (field capacity - wilting point) depth (FAO-56 eq. 82).
double total_available_water_mm(double field_capacity, double wilting_point, double depth_m);
/// p + 0.04 (5 - ETc), kept in 0.1 to 0.8 (FAO-56, below eq. 83).
double depletion_fraction(double p_table, double etc_mm);
/// Ks = (TAW - Dr) / (TAW - RAW), 1 while Dr <= RAW, 0 from TAW on (FAO-56 eq. 84).
double stress_coefficient(double depletion_mm, double total_mm, double readily_mm);

/// Surface temperature under a stand from air temperature, and one day of the soil at a depth (Katterer & Andren 2009, constants
/// as in the authors' group's own package): LAI = 0.8 GAI; z = half the layer.
double surface_degc(double air_degc, double green_area_index);
double soil_gain(double layer_mm, double green_area_index);
double next_soil_degc(double soil_degc, double air_degc, double layer_mm, double green_area_index);
/// Damping depth sqrt(2 Dh / omega), m, for a period in days.
double damping_depth_m(double diffusivity_m2_per_s, double period_days);

struct SnowStep { double snow_mm, melt_mm, rain_mm; };
/// Degree-day snow: all snow at or below 0.5 degC mean, melt 3 mm per degC and day above 0 (handbook range 1.6-6; memory).
SnowStep next_snow(double snow_mm, double precip_mm, double tmean_degc);

/// Moisture of heavy dead wood, 0 to 1: moves towards 1 on wet days (from 2 mm on) and towards its dry equilibrium on dry
/// ones, by 1 - exp(-24 h / tau) (lagged fuel moisture of fire-danger practice, memory); dry days pull by their evaporation.
double next_log_moisture(double moisture, double rain_mm, double et0_mm, double tau_h);

}  // namespace stumpwise::weather
