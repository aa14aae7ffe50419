#include "stumpwise/weather/evapotranspiration.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "stumpwise/base/angle.h"

namespace stumpwise::weather {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kSolarConstant_mj_per_m2_min = 0.0820;
constexpr double kStefanBoltzmann_mj_per_k4_m2_d = 4.903e-9;
constexpr double kLatentHeat_mj_per_kg = 2.45;
// 1 / 2.45 as FAO-56 rounds it; its printed examples need this rounding.
constexpr double kMmPerMj = 0.408;

}  // namespace

double air_pressure_kpa(double elevation_m) {
  return 101.3 * std::pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26);
}
double psychrometric_kpa_per_degc(double pressure_kpa) {
  return 0.665e-3 * pressure_kpa;
}
double saturation_kpa(double t_degc) {
  return 0.6108 * std::exp(17.27 * t_degc / (t_degc + 237.3));
}
double mean_saturation_kpa(double tmin_degc, double tmax_degc) {
  return (saturation_kpa(tmin_degc) + saturation_kpa(tmax_degc)) / 2;
}
double saturation_slope_kpa_per_degc(double t_degc) {
  return 4098 * saturation_kpa(t_degc) / ((t_degc + 237.3) * (t_degc + 237.3));
}

double vapour_from_rh_kpa(double tmin_degc, double tmax_degc, double rh_min_pct, double rh_max_pct) {
  return (saturation_kpa(tmin_degc) * rh_max_pct / 100 + saturation_kpa(tmax_degc) * rh_min_pct / 100) / 2;
}
double vapour_from_rh_max_kpa(double tmin_degc, double rh_max_pct) {
  return saturation_kpa(tmin_degc) * rh_max_pct / 100;
}
double vapour_from_rh_mean_kpa(double tmin_degc, double tmax_degc, double rh_mean_pct) {
  return rh_mean_pct / 100 * mean_saturation_kpa(tmin_degc, tmax_degc);
}
double vapour_from_psychrometer_kpa(double wet_degc, double dry_degc, double pressure_kpa,
                                    double coefficient) {
  return saturation_kpa(wet_degc) - coefficient * pressure_kpa * (dry_degc - wet_degc);
}

double inverse_distance(int day) {
  return 1 + 0.033 * std::cos(2 * kPi * day / 365);
}
double declination_rad(int day) {
  return 0.409 * std::sin(2 * kPi * day / 365 - 1.39);
}
double sunset_hour_angle_rad(double latitude_deg, int day) {
  return std::acos(
      std::clamp(-std::tan(Angle::degrees(latitude_deg).rad()) * std::tan(declination_rad(day)), -1.0, 1.0));
}
double extraterrestrial_mj(double latitude_deg, int day) {
  const double lat = Angle::degrees(latitude_deg).rad(), dec = declination_rad(day),
               w = sunset_hour_angle_rad(latitude_deg, day);
  return 24 * 60 / kPi * kSolarConstant_mj_per_m2_min * inverse_distance(day) *
         (w * std::sin(lat) * std::sin(dec) + std::cos(lat) * std::cos(dec) * std::sin(w));
}
double daylight_h(double latitude_deg, int day) {
  return 24 / kPi * sunset_hour_angle_rad(latitude_deg, day);
}
double solar_from_sunshine_mj(double sun_hours, double daylight_hours, double ra) {
  return (0.25 + 0.50 * (daylight_hours > 0 ? std::min(1.0, sun_hours / daylight_hours) : 0)) * ra;
}
double solar_from_range_mj(double tmin_degc, double tmax_degc, double ra, double coefficient) {
  return coefficient * std::sqrt(std::max(0.0, tmax_degc - tmin_degc)) * ra;
}
double clear_sky_mj(double elevation_m, double ra) {
  return (0.75 + 2e-5 * elevation_m) * ra;
}
double net_shortwave_mj(double solar) {
  return 0.77 * solar;
}
double net_longwave_mj(double tmin_degc, double tmax_degc, double vapour_kpa, double solar,
                       double clear_sky) {
  const double fourth = (std::pow(tmax_degc + 273.16, 4) + std::pow(tmin_degc + 273.16, 4)) / 2;
  const double clearness = clear_sky > 0 ? std::min(1.0, solar / clear_sky) : 0.5;
  return kStefanBoltzmann_mj_per_k4_m2_d * fourth * (0.34 - 0.14 * std::sqrt(std::max(0.0, vapour_kpa))) *
         (1.35 * clearness - 0.35);
}
double monthly_soil_heat_mj(double former_degc, double next_degc) {
  return 0.07 * (next_degc - former_degc);
}
double monthly_soil_heat_last_mj(double former_degc, double this_degc) {
  return 0.14 * (this_degc - former_degc);
}
double wind_at_2m(double wind_m_per_s, double height_m) {
  return wind_m_per_s * 4.87 / std::log(67.8 * height_m - 5.42);
}

double penman_monteith_mm(const PenmanInput& in) {
  const double slope = saturation_slope_kpa_per_degc(in.tmean_degc),
               gamma = psychrometric_kpa_per_degc(in.pressure_kpa);
  const double radiation = kMmPerMj * slope * (in.net_radiation_mj - in.soil_heat_mj);
  const double wind =
      gamma * 900 / (in.tmean_degc + 273) * in.wind_2m_m_per_s * (in.saturation_kpa - in.vapour_kpa);
  return (radiation + wind) / (slope + gamma * (1 + 0.34 * in.wind_2m_m_per_s));
}
double hargreaves_mm(double tmin_degc, double tmax_degc, double tmean_degc, double ra) {
  return std::max(
      0.0, 0.0023 * (tmean_degc + 17.8) * std::sqrt(std::max(0.0, tmax_degc - tmin_degc)) * kMmPerMj * ra);
}
double oudin_mm(double tmean_degc, double ra) {
  return tmean_degc > -5 ? ra / kLatentHeat_mj_per_kg * (tmean_degc + 5) / 100 : 0;
}

}  // namespace stumpwise::weather
