#pragma once
#include <optional>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/date.h"

namespace stumpwise::earth {

struct SunPosition {
  double declination_deg = 0;
  double right_ascension_deg = 0;
  double equation_of_time_min = 0;
  double elevation_deg = 0;  ///< geometric, without refraction
  double azimuth_deg = 0;    ///< from true north, clockwise
};

/// Geometric solar coordinates by the low-accuracy series of Meeus, Astronomical Algorithms, chapter 25 (0.01
/// degrees).
struct SunEcliptic {
  double mean_longitude_deg, mean_anomaly_deg, equation_of_centre_deg, apparent_longitude_deg, obliquity_deg;
  double radius_au, right_ascension_deg, declination_deg;
};
/// `julian_day_td`: Julian (ephemeris) day in dynamical time.
SunEcliptic sun_ecliptic(double julian_day_td);
double julian_day(Instant instant);
SunPosition sun_position(Instant instant, const LatLon& place);

/// Depression of the sun's centre below the horizon at each event, degrees.
inline constexpr double kSunriseDepression_deg = 0.833;
inline constexpr double kCivilDepression_deg = 6.0;
inline constexpr double kNauticalDepression_deg = 12.0;
inline constexpr double kAstronomicalDepression_deg = 18.0;

/// The sun's crossings of one depression on one civil day of the place; nothing where the sun does not cross
/// it.
struct SunTimes {
  std::optional<Instant> rise;
  std::optional<Instant> set;
  bool always_up = false;  ///< the sun stays above the depression all day
};
/// Crossings on the local civil day `date`, whose midnight lies `offset_min` from UTC (-120 for UTC-2). Each
/// event is iterated at its own moment, so the error is that of the series (about 2 s at middle latitudes).
SunTimes sun_times(Date date, const LatLon& place, int offset_min,
                   double depression_deg = kSunriseDepression_deg);

}  // namespace stumpwise::earth
