#pragma once

/// Reference evapotranspiration (short grass, well watered) step by step as in Allen, Pereira, Raes & Smith
/// 1998, FAO Irrigation and Drainage Paper 56; equation numbers are its own. For a day, or a month's mean
/// day. Radiation in MJ/m2/d, pressure in kPa, temperature in degC, wind in m/s at 2 m, latitude in degrees
/// (south negative), day of year 1 to 366. Nothing is checked: the readers keep values inside their physical
/// limits. Tmean of a day is (Tmin + Tmax) / 2 throughout (FAO-56 eq. 9).
namespace stumpwise::weather {

double air_pressure_kpa(double elevation_m);             ///< eq. 7
double psychrometric_kpa_per_degc(double pressure_kpa);  ///< eq. 8
double saturation_kpa(double temperature_degc);          ///< eq. 11
/// Mean of the pressures at both extremes (eq. 12), not the pressure at the mean temperature.
double mean_saturation_kpa(double tmin_degc, double tmax_degc);
double saturation_slope_kpa_per_degc(double temperature_degc);  ///< eq. 13
double vapour_from_rh_kpa(double tmin_degc, double tmax_degc, double rh_min_pct,
                          double rh_max_pct);  ///< eq. 17 with the "/2" that the print misses
/// Where no humidity is known, the dew point is taken as Tmin (FAO-56 eq. 48): saturation_kpa(tmin) is then
/// the vapour pressure.
double vapour_from_rh_max_kpa(double tmin_degc, double rh_max_pct);  ///< eq. 18
double vapour_from_rh_mean_kpa(double tmin_degc, double tmax_degc,
                               double rh_mean_pct);  ///< eq. 19 in the form RHmean/100 * es
double vapour_from_psychrometer_kpa(double wet_degc, double dry_degc, double pressure_kpa,
                                    double coefficient);  ///< eq. 15, 16
double inverse_distance(int day_of_year);                 ///< eq. 23
double declination_rad(int day_of_year);                  ///< eq. 24
/// eq. 25; pi in the polar day, 0 in the polar night.
double sunset_hour_angle_rad(double latitude_deg, int day_of_year);
double extraterrestrial_mj(double latitude_deg, int day_of_year);  ///< Ra, eq. 21
double daylight_h(double latitude_deg, int day_of_year);           ///< N, eq. 34
double solar_from_sunshine_mj(double sun_hours, double daylight_hours,
                              double extraterrestrial);  ///< Rs, eq. 35
/// Rs from the daily range (eq. 50); coefficient 0.16 inland, 0.19 at coasts.
double solar_from_range_mj(double tmin_degc, double tmax_degc, double extraterrestrial,
                           double coefficient = 0.16);
double clear_sky_mj(double elevation_m, double extraterrestrial);  ///< Rso, eq. 37
double net_shortwave_mj(double solar);                             ///< Rns, eq. 38, albedo 0.23
double net_longwave_mj(double tmin_degc, double tmax_degc, double vapour_kpa, double solar,
                       double clear_sky);  ///< Rnl, eq. 39; Rs/Rso kept at most 1, 0.5 in the polar night
double monthly_soil_heat_mj(double former_degc,
                            double next_degc);  ///< eq. 43: between the months before and after
double monthly_soil_heat_last_mj(double former_degc,
                                 double this_degc);       ///< eq. 44: where the next month is not known
double wind_at_2m(double wind_m_per_s, double height_m);  ///< eq. 47

struct PenmanInput {
  double tmean_degc, wind_2m_m_per_s, saturation_kpa, vapour_kpa, net_radiation_mj, soil_heat_mj,
      pressure_kpa;
};
double penman_monteith_mm(const PenmanInput& input);  ///< eq. 6
/// eq. 52 (Hargreaves & Samani 1985), Ra turned into mm/d by 0.408. Never below 0.
double hargreaves_mm(double tmin_degc, double tmax_degc, double tmean_degc, double extraterrestrial);
/// Where only the mean is known: PE = Ra / (lambda rho) (T + 5) / 100 above -5 degC, else 0, lambda = 2.45
/// MJ/kg, rho = 1 kg per mm and m2. Oudin et al. 2005, J. Hydrol. 303:290, doi:10.1016/j.jhydrol.2004.08.026
/// (formula seen in public ports of it). It is a potential evaporation tuned for river models, not FAO-56's
/// reference, and runs lower than eq. 52 in dry summers.
double oudin_mm(double tmean_degc, double extraterrestrial);

}  // namespace stumpwise::weather
