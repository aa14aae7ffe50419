#include "stumpwise/weather/site.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stumpwise/earth/geodesic.h"
#include "stumpwise/weather/degree_days.h"
#include "stumpwise/weather/evapotranspiration.h"
#include "stumpwise/weather/soil.h"

namespace stumpwise::weather {
namespace {

/// Fall of temperature with height, degC per m (ICAO standard atmosphere).
constexpr double kLapse_degc_per_m = 0.0065;
/// Half of the daily range where only the mean is known: about what an inland temperate day has (memory).
constexpr double kHalfRange_degc = 5;
/// Soil layer whose middle lies at 10 cm.
constexpr double kSoilLayer_mm = 200;
constexpr double kDegreeDayBase_degc = 5;
constexpr double kFarKm = 30, kFarHeight_m = 300;

struct DayTemperature { double tmin_degc, tmax_degc, tmean_degc; };

std::optional<DayTemperature> moved_temperature(const Day& day, double rise_m) {
  const double shift = -kLapse_degc_per_m * rise_m;
  const auto mean = day.mean_degc();
  if (!mean) return std::nullopt;
  return DayTemperature{day.tmin_degc.value_or(*mean - kHalfRange_degc) + shift, day.tmax_degc.value_or(*mean + kHalfRange_degc) + shift, *mean + shift};
}

double reference_et_mm(const Day& day, const DayTemperature& t, const Site& site) {
  const int j = base::day_of_year(day.date);
  const double ra = extraterrestrial_mj(site.place.lat_deg, j);
  const bool extremes = day.tmin_degc && day.tmax_degc;
  if (extremes && day.wind_m_per_s && day.rh_min_pct && day.rh_max_pct) {
    const double solar = day.sun_hours ? solar_from_sunshine_mj(*day.sun_hours, daylight_h(site.place.lat_deg, j), ra) : solar_from_range_mj(t.tmin_degc, t.tmax_degc, ra);
    const double vapour = vapour_from_rh_kpa(t.tmin_degc, t.tmax_degc, *day.rh_min_pct, *day.rh_max_pct);
    const double net = net_shortwave_mj(solar) - net_longwave_mj(t.tmin_degc, t.tmax_degc, vapour, solar, clear_sky_mj(site.elevation_m, ra));
    return std::max(0.0, penman_monteith_mm({t.tmean_degc, *day.wind_m_per_s, mean_saturation_kpa(t.tmin_degc, t.tmax_degc), vapour, net, 0, air_pressure_kpa(site.elevation_m)}));
  }
  if (extremes) return hargreaves_mm(t.tmin_degc, t.tmax_degc, t.tmean_degc, ra);
  return oudin_mm(t.tmean_degc, ra);
}

DayState next_state(const DayState& last, const Day& day, const DayTemperature& t, const Site& site) {
  DayState now = last;
  now.date = day.date;
  now.measured = day.method.empty();
  now.tmin_degc = t.tmin_degc;
  now.tmax_degc = t.tmax_degc;
  now.tmean_degc = t.tmean_degc;
  now.precip_mm = day.precip_mm.value_or(0);
  now.et0_mm = reference_et_mm(day, t, site);
  const SnowStep snow = next_snow(last.snow_mm, now.precip_mm, t.tmean_degc);
  now.snow_mm = snow.snow_mm;
  now.rain_mm = snow.rain_mm + snow.melt_mm;
  // Soil water: depletion of the root zone; a stand draws at the reference rate until it is short of water (FAO-56 ch. 8).
  const double total = site.available_water_mm, readily = 0.5 * total;
  const double depletion = (1 - last.soil_water) * total;
  const double drawn = now.snow_mm > 1 ? 0 : stress_coefficient(depletion, total, readily) * now.et0_mm;
  now.soil_water = 1 - std::clamp(depletion - now.rain_mm + drawn, 0.0, total) / total;
  // Snow keeps the soil from the air: a tenth of the air's pull gets through (Zheng, Hunt & Running 1993 as used in models; memory).
  const double gai = site.leaf_area_index / 0.8;
  const double next = next_soil_degc(last.soil_degc, t.tmean_degc, kSoilLayer_mm, gai);
  now.soil_degc = now.snow_mm > 5 ? last.soil_degc + (next - last.soil_degc) * 0.1 : next;
  now.log_moisture = std::clamp(next_log_moisture(last.log_moisture, now.rain_mm, now.et0_mm, site.log_tau_h), 0.0, 1.0);
  const double warmth = single_sine(t.tmin_degc, t.tmax_degc, kDegreeDayBase_degc);
  now.degree_days = (base::day_of_year(day.date) == 1 ? 0 : last.degree_days) + warmth;
  return now;
}

DayState start_state(const Day& day, const DayTemperature& t, const std::optional<double>& start_soil_degc) {
  DayState state{};
  state.date = base::plus_days(day.date, -1);
  state.tmin_degc = t.tmin_degc;
  state.tmax_degc = t.tmax_degc;
  state.tmean_degc = t.tmean_degc;
  state.soil_degc = start_soil_degc.value_or(std::max(0.0, t.tmean_degc));
  state.soil_water = 0.7;
  state.log_moisture = 0.5;
  return state;
}

std::vector<DayState> run(std::optional<DayState> last, const std::vector<Day>& days, double rise_m, const Site& site, const std::optional<double>& start_soil_degc) {
  std::vector<DayState> states;
  states.reserve(days.size());
  for (const Day& day : days) {
    const auto t = moved_temperature(day, rise_m);
    if (!t || !day.precip_mm) continue;
    // A hole of over ten days: what the soil did is not known, so it starts again from the air's own mean.
    if (last && base::days_between(last->date, day.date) > 10) last.reset();
    if (!last) last = start_state(day, *t, start_soil_degc);
    last = next_state(*last, day, *t, site);
    states.push_back(*last);
  }
  return states;
}

}  // namespace

std::vector<DayState> run_site(const Series& series, const Site& site, const std::optional<double>& start_soil_degc) {
  return run(std::nullopt, series.days, site.elevation_m - series.station.elevation_m, site, start_soil_degc);
}

std::vector<DayState> continue_site(const DayState& last, const std::vector<Day>& days, double days_elevation_m, const Site& site) {
  return run(last, days, site.elevation_m - days_elevation_m, site, std::nullopt);
}

StationFit station_fit(const Station& station, const LatLon& place, double elevation_m) {
  StationFit fit;
  fit.distance_km = earth::geodesic(station.place, place).distance_m / 1000;
  fit.height_difference_m = station.elevation_m - elevation_m;
  fit.far = fit.distance_km > kFarKm || std::abs(fit.height_difference_m) > kFarHeight_m;
  if (!fit.far) return fit;
  fit.band_factor = std::min(4.0, 1.25 + fit.distance_km / 100 + std::abs(fit.height_difference_m) / 1000);
  fit.warning = fmt::format("station {} stands {:.0f} km away and {:.0f} m {} this place: the weather here may differ, and the band is wider", station.name,
                            fit.distance_km, std::abs(fit.height_difference_m), fit.height_difference_m < 0 ? "lower than" : "higher than");
  return fit;
}

}  // namespace stumpwise::weather
