#pragma once

namespace stumpwise::walk {

/// Other walking laws, for comparison with Tobler's (travel.h), which the planner uses. None of them knows
/// undergrowth.

/// Distance on the flat that takes as long as `distance_m` with `climb_m` of ascent: each metre climbed
/// counts as `ratio` metres walked (Naismith 1892 in the form of Scarf 2007, J. Sports Sci. 25:719; 7.92 = 3
/// miles in 2000 feet). Distances and climbs >= 0, else Error(bad_value).
double naismith_flat_m(double distance_m, double climb_m, double ratio = 7.92);

/// Naismith's rule in round metric numbers: an hour for 5 km and an hour more for 600 m of ascent. Minutes.
double naismith_min(double distance_m, double climb_m);

/// Langmuir's amendment: walking at `speed_km_per_h`, 10 minutes more for each 100 m of ascent, 10 less for
/// each 300 m of gentle descent (5 to 12 degrees), 10 more for each 300 m of steep descent (over 12 degrees).
/// Minutes.
double langmuir_min(double distance_m, double climb_m, double gentle_descent_m, double steep_descent_m,
                    double speed_km_per_h = 5);

enum class Walker { man, woman };
/// Irmischer & Clarke (2018, Cartogr. Geogr. Inf. Sci. 45:177), metres per second, slope as rise over run:
/// on a path 0.11 + exp(-(100 s + 5)^2 / 1800), off it 0.11 + 0.67 exp(-(100 s + 2)^2 / 1800); women 0.95 of
/// it. The slope keeps its sign (going down gently is fastest): taking its absolute value, as some programs
/// do, loses that. Measured between about -0.6 and 0.6; beyond, the law sinks to 0.11 m/s.
double irmischer_m_per_s(double slope, bool on_path, Walker walker = Walker::man);

}  // namespace stumpwise::walk
