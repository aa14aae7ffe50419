#pragma once
#include <string>
#include <vector>

#include "stumpwise/species/profile.h"
#include "stumpwise/weather/site.h"

namespace stumpwise::season {

enum class Basis { observed, forecast, ensemble };
std::string basis_name(Basis basis);

/// The three responses of one day, each 0 to 1, and the share that survives the day's frost.
struct Emergence {
  double season = 0, temperature = 0, water = 0, keep = 1;
  double product() const { return season * temperature * water; }
};

/// Index of one day with its band and the words for it.
struct IndexDay {
  Date date;
  double index = 0, low90 = 0, high90 = 0;
  std::string driver;  ///< the factor that lifts it most, in words with its number: "rain of the last 10 days 31 mm"
  std::string limit;   ///< the factor that holds it down most: "soil 7 degC, below the 10-15 degC window"
  Basis basis = Basis::observed;
  Emergence today;
};

/// Season response on a day: mixture of von Mises scaled to maximum 1, modes shifted by 4 days per degree of latitude from
/// 45 and per 122 m of height (Hopkins 1918; the-job.md B1): spring later, autumn earlier.
double season_response(const species::Triggers& triggers, Date date, double latitude_deg, double elevation_m, double shift_days = 0);
/// Beta response of Yan & Hunt (1999, Ann. Bot. 84:607), maximum 1 at t_opt, 0 outside.
double beta_response(double t_degc, double t_min_degc, double t_opt_degc, double t_max_degc);

/// A shift of the parameters inside their stated uncertainty, for bands and for the grid of candidates in `learn`.
struct Variant { double season_shift_days = 0, t_shift_degc = 0, rain_factor = 1; };

/// Index for every day of `states` (design.md section 2: emergence convolved with visible lifetime, thinned by frost).
/// The first days, whose past is not known, lean on what is there. Pure; no band.
std::vector<double> index_series(const species::Triggers& triggers, const weather::Site& site,
                                 const std::vector<weather::DayState>& states, const Variant& variant = {});

/// Index with band, driver and limit for the days [first, last] of `states`. The band comes from variants drawn inside the
/// stated uncertainties (fixed seed), times `band_factor` for a far station.
std::vector<IndexDay> index_days(const species::Triggers& triggers, const weather::Site& site,
                                 const std::vector<weather::DayState>& states, Date first, Date last, double band_factor);

/// Days to come: `observed` up to today, then the user's forecast, then one member per past year. Median over members;
/// the band joins members and variants, so it widens with lead time and a forecast narrows it.
struct Outlook { std::vector<IndexDay> days; int members = 0; };
Outlook outlook(const species::Triggers& triggers, const weather::Site& site, const std::vector<weather::DayState>& observed,
                const std::vector<weather::Day>& forecast, const std::vector<std::vector<weather::Day>>& members,
                double days_elevation_m, Date first, int n_days, double band_factor);

}  // namespace stumpwise::season
