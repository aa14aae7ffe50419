#pragma once
#include <string>
#include <vector>

#include "stumpwise/species/profile.h"
#include "stumpwise/weather/site.h"

/// When: the conditions index of a species at a site, day by day (design.md section 2).
///
///   emerge(d) = season(d) temperature(d) water(d)                          each scaled to maximum 1
///   index(t)  = C sum_j life(j) emerge(t-j) prod_{i=0..j} keep(t-i)        0 to 1
///
/// What the number means. The index is the expected *standing* crop of fruit bodies on a day, as a share of
/// the most that a year of perfect weather would have standing: bodies seen today came up over the days and
/// weeks before, so yesterday's drought lowers it slowly and last night's rain does not lift it yet. C is set
/// per species and site so that a year with temperature = water = keep = 1 reaches exactly 1 at the best day
/// of the season; without C a short season could never come near 1, because a part of the lifetime lies
/// outside it. C is a constant and so is taken up by a_s of the prospect.
///
/// life(j): share still visible j days after emerging, over its sum. The lifetime is gamma distributed with
/// mean `visible_days` and shape 4 (standard deviation half the mean; our assumption, no published lifetimes
/// by species), cut where less than 1 % is left. season: the profile's season tells when fruit bodies are
/// *found*. Emergence therefore leads it by the mean age of what stands, visible_days 5/8 rounded to whole
/// days, so that in steady weather the index peaks when the profile says. temperature: beta response (Yan &
/// Hunt 1999) to the mean of air or soil over `temperature_window_days`. water, antecedent_rain: W = 1 -
/// exp(-API / rain_mm), API = sum over the lags lag_min..lag_max of 0.9^(lag - lag_min) rain(t - lag)
/// (antecedent precipitation index, Kohler & Linsley 1951, daily factor 0.85 to 0.95; memory), so that one
/// rain of rain_mm just at the shortest lag gives 0.63. soil_water, log_moisture: W = 1 - exp(-(share /
/// moist_share)^2). keep: 1 down to frost_kill_degc, from there to 0 over three degrees; always 1 where frost
/// does not end it.
///
/// Days whose weather is not known (before the first day, in holes) are taken to have been like the known
/// days that the lifetime reaches, weighted alike; the season is always known. Bands widen by the share that
/// is not known.
namespace stumpwise::season {

enum class Basis { observed, forecast, ensemble };
/// "observed", "forecast", "past years".
std::string basis_name(Basis basis);

/// The three responses of one day to what emerges on it, each 0 to 1, and the share that survives the day's
/// frost.
struct Emergence {
  double season = 0, temperature = 0, water = 0, keep = 1;
  double product() const { return season * temperature * water; }
};

/// Index of one day with its band and the words for it.
struct IndexDay {
  Date date;
  double index = 0, low90 = 0, high90 = 0;
  std::string
      driver;  ///< the factor that lifts it most, in words with its number: "rain 3-10 days back 31 mm, ..."
  std::string
      limit;  ///< the factor that holds it down most: "soil 7 °C (mean of 7 days), below the 10-15 °C window"
  Basis basis = Basis::observed;
  Emergence today;
};

/// Season of being found on a day: mixture of von Mises scaled to maximum 1, modes shifted by 4 days per
/// degree of latitude from 45 and per 122 m of height (Hopkins 1918; the-job.md B1; memory): spring later,
/// autumn earlier. South of the equator the year is turned by half. No mode: 1 on every day.
double season_response(const species::Triggers& triggers, Date date, double latitude_deg, double elevation_m,
                       double shift_days = 0);
/// Beta response of Yan & Hunt (1999, Ann. Bot. 84:607; memory), maximum 1 at t_opt, 0 at and outside t_min
/// and t_max:
///   r = (t_max - t)/(t_max - t_opt) ((t - t_min)/(t_opt - t_min))^((t_opt - t_min)/(t_max - t_opt))
/// Throws Error(bad_value) unless t_min < t_opt < t_max.
double beta_response(double t_degc, double t_min_degc, double t_opt_degc, double t_max_degc);

/// A shift of the parameters inside their stated uncertainty, for bands and for the grid of candidates in
/// `learn`: the season later by season_shift_days, the temperature window warmer by t_shift_degc, the water
/// needed times rain_factor (of moist_share: times its square root, since a share ends at 1).
struct Variant {
  double season_shift_days = 0, t_shift_degc = 0, rain_factor = 1;
};

/// Index for every day of `states` (in order of date, holes allowed). Pure; no band. O(days x visible_days).
std::vector<double> index_series(const species::Triggers& triggers, const weather::Site& site,
                                 const std::vector<weather::DayState>& states, const Variant& variant = {});

/// Index with band, driver and limit for the days [first, last] of `states`. The band holds 90 % of 32
/// variants drawn inside the stated uncertainties (normal, their plus-minus read as a 90 % range; a fixed
/// Latin hypercube), always holds the index, and its half-widths are multiplied by `band_factor` (>= 1, for a
/// far station) inside 0 to 1.
std::vector<IndexDay> index_days(const species::Triggers& triggers, const weather::Site& site,
                                 const std::vector<weather::DayState>& states, Date first, Date last,
                                 double band_factor);

/// Days to come: `observed` up to today, then the user's forecast, then one member per past year, each
/// continued from today's soil state. Members carry the dates of the days to come (the same calendar days,
/// moved); where the forecast has a day, it stands in every member. The index is the median over members; the
/// band joins members and variants, so it widens with lead time and a forecast narrows it (the forecast is
/// taken at its word). A day that neither observation, forecast nor member reaches is left out of `days`.
struct Outlook {
  std::vector<IndexDay> days;
  int members = 0;
};
Outlook outlook(const species::Triggers& triggers, const weather::Site& site,
                const std::vector<weather::DayState>& observed, const std::vector<weather::Day>& forecast,
                const std::vector<std::vector<weather::Day>>& members, double days_elevation_m, Date first,
                int n_days, double band_factor);

}  // namespace stumpwise::season
