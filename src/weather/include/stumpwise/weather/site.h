#pragma once
#include <optional>
#include <vector>

#include "stumpwise/weather/series.h"

namespace stumpwise::weather {

/// Where the balance is run: a forest site at some height above or below its station.
struct Site {
  LatLon place;
  double elevation_m = 0;
  double leaf_area_index = 3.0;        ///< shades the soil; default: closed temperate broad-leaved stand
  double available_water_mm = 100;     ///< total available water of the root zone (FAO-56 TAW)
  double log_tau_h = 1000;             ///< response time of the dead wood that matters (100 or 1000 h)
};

/// State at the end of one day. Everything is defined on every day: a day without a measured value carries
/// `measured = false` and was filled or continued (see fill_gaps); a stretch that could not be filled ends the run.
struct DayState {
  Date date;
  bool measured = true;
  double tmin_degc, tmax_degc, tmean_degc, precip_mm;
  double et0_mm;                  ///< reference evapotranspiration
  double rain_mm;                 ///< rain plus snow melt that reaches the ground
  double snow_mm;                 ///< water in the snow on the ground
  double soil_degc;               ///< at 10 cm under the canopy
  double soil_water;              ///< share of the available water that is there, 0 to 1
  double log_moisture;            ///< of heavy dead wood, 0 (dry) to 1 (wet)
  double degree_days;             ///< base 5 degC since 1 January, single sine
};

enum class Et0Method { penman_monteith, hargreaves, mean_temperature };

/// Runs snow, evapotranspiration, soil water, soil temperature and log moisture over the series moved to the site's
/// height (6.5 degC a km, ICAO standard atmosphere; precipitation unchanged). Gaps longer than fill_gaps filled restart
/// the state after them from the climate's own mean and are left out of the result.
std::vector<DayState> run_site(const Series& series, const Site& site, const std::optional<double>& start_soil_degc = {});
/// The same, continued from `last` over further days (a forecast or a past year): today's soil state is kept.
std::vector<DayState> continue_site(const DayState& last, const std::vector<Day>& days, double days_elevation_m, const Site& site);

/// What a station far away or at another height does to an answer.
struct StationFit {
  double distance_km = 0;
  double height_difference_m = 0;
  bool far = false;     ///< more than 30 km or 300 m: must be said, and the band widens
  double band_factor = 1;  ///< multiplies the half-width of bands
  std::string warning;  ///< empty where not far
};
StationFit station_fit(const Station& station, const LatLon& place, double elevation_m);

}  // namespace stumpwise::weather
