#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/weather/series.h"

namespace stumpwise::weather {

/// Where the balance is run: a forest site at some height above or below its station.
struct Site {
  LatLon place;
  double elevation_m = 0;
  double leaf_area_index = 3.0;     ///< shades the soil; default: closed temperate broad-leaved stand
  double available_water_mm = 100;  ///< total available water of the root zone (FAO-56 TAW)
  double log_tau_h = 1000;          ///< response time of the dead wood that matters (100 or 1000 h)
};

/// State at the end of one day. Everything is defined on every day: a day without a measured value carries
/// `measured = false` and was filled or continued (see fill_gaps); days that could not be filled are not in
/// the result.
struct DayState {
  Date date;
  bool measured = true;
  double tmin_degc, tmax_degc, tmean_degc, precip_mm;
  double et0_mm;      ///< reference evapotranspiration
  double rain_mm;     ///< rain plus snow melt that reaches the ground
  double snow_mm;     ///< water in the snow on the ground
  double soil_degc;   ///< at 10 cm under the canopy
  double soil_water;  ///< share of the available water that is there, 0 to 1
  double
      log_moisture;  ///< of heavy dead wood, 0 (dry) to 1 (at fibre saturation or above); see log_moisture.h
  double degree_days;  ///< base 5 degC since 1 January, single sine; since the start where nothing earlier is
                       ///< known
};

/// Penman-Monteith where the day has both extremes, wind and humidity (sunshine where there is any, else from
/// the daily range); Hargreaves where it has both extremes; else the mean-temperature formula.
enum class Et0Method { penman_monteith, hargreaves, mean_temperature };
Et0Method et0_method(const Day& day);
/// "Penman-Monteith (FAO-56)", "Hargreaves", "mean temperature (Oudin)".
std::string et0_method_name(Et0Method method);

/// Half of the daily temperature range where only the mean is known: 2.5 degC and up to as much again with
/// the sun's strength (Ra / 40 MJ). Ours; it lies between a city by the sea (New York: 3.2 in December to 4.8
/// in May) and an inland airport (Roanoke, Virginia: 4.8 to 6.5). A mountain valley has up to twice as much,
/// so frost is understated there.
double usual_half_range_degc(double latitude_deg, int day_of_year);

/// Runs snow, evapotranspiration, soil water, soil temperature and log moisture over the series moved to the
/// site's height (6.5 degC a km, ICAO standard atmosphere; precipitation unchanged).
///
/// A day is in the result where its mean temperature and its precipitation are known (measured or filled).
/// Over days that are not, the state is carried by what they do have and the usual day of the station so far
/// (a yearly wave of temperature, rain of the month in whole wet days), or, before its year is known, a
/// straight line between both sides; so a gap every winter leaves every spring with a state near its usual
/// one. Before the first day nothing is known: soil temperature is the mean of the first 30 days (or
/// `start_soil_degc`, measured on the eve of the first day), soil water 0.7, log moisture 0.5, no snow. These
/// assumptions fade in about 3 weeks, after the first soaking rain, in about 6 weeks, at the next thaw.
/// What comes later changes no state before it (after the first 30 days).
///
/// Limits: the stand takes ET0 times FAO-56's stress coefficient (p = 0.5 at 5 mm a day), nothing while snow
/// lies, and its crowns hold no rain back; runoff is only what the full store cannot hold; under more than 5
/// mm of snow the soil follows at 0.4 of the rate (0.1 / 0.25 of Zheng, Hunt & Running 1993, constants seen
/// second-hand; memory). Measured snow depth is not used. Throws Error(bad_value) for a site that cannot be:
/// latitude, height, LAI 0 to 15, water > 0, tau > 0.
std::vector<DayState> run_site(const Series& series, const Site& site,
                               const std::optional<double>& start_soil_degc = {});
/// The same, continued from `last` over further days (a forecast or a past year): today's soil state is kept.
/// Days up to last.date are passed over. Without holes, running on equals having run through.
std::vector<DayState> continue_site(const DayState& last, const std::vector<Day>& days,
                                    double days_elevation_m, const Site& site);

/// What a station far away or at another height does to an answer.
struct StationFit {
  double distance_km = 0;
  double height_difference_m = 0;  ///< station less place
  bool far = false;                ///< more than 30 km or 300 m: must be said, and the band widens
  double band_factor = 1;  ///< multiplies the half-width of bands: 1.25 just outside, more by 1 per 100 km
                           ///< and per 1000 m, at most 4 (ours)
  std::string warning;     ///< empty where not far
};
StationFit station_fit(const Station& station, const LatLon& place, double elevation_m);

}  // namespace stumpwise::weather
