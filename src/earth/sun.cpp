#include "stumpwise/earth/sun.h"

#include <cmath>

namespace stumpwise::earth {
namespace {

double turn(double value_deg) {
  const double rest = std::fmod(value_deg, 360.0);
  return rest < 0 ? rest + 360.0 : rest;
}
double sine(double value_deg) {
  return std::sin(Angle::degrees(value_deg).rad());
}
double cosine(double value_deg) {
  return std::cos(Angle::degrees(value_deg).rad());
}
double arc(double value_rad) {
  return Angle::radians(value_rad).deg();
}

/// Difference of dynamical and universal time, seconds: polynomials of Espenak & Meeus for 1986-2005 and
/// 2005-2050 (memory). A second of error moves the sun by 0.00001 degrees, so outside these years the nearer
/// one is good enough.
double delta_t_s(double year) {
  const double t = year - 2000.0;
  if (year < 2005)
    return 63.86 + t * (0.3345 + t * (-0.060374 + t * (0.0017275 + t * (0.000651814 + t * 0.00002373599))));
  return 62.92 + t * (0.32217 + t * 0.005589);
}

double dynamical_day(double jd) {
  const double year = std::fmin(2050.0, std::fmax(1986.0, 2000.0 + (jd - 2451545.0) / 365.25));
  return jd + delta_t_s(year) / 86400.0;
}

/// Main term of the nutation in longitude times the cosine of the obliquity, degrees: what the equinox moves
/// along the equator (Meeus, chapters 22 and 25; the rest is below 1.3 seconds of arc).
double equation_of_equinoxes_deg(double julian_day_td, double obliquity_deg) {
  const double node_deg = 125.04 - 1934.136 * (julian_day_td - 2451545.0) / 36525.0;
  return -0.00478 * sine(node_deg) * cosine(obliquity_deg);
}

/// Apparent minus mean solar time, minutes (Meeus, equation 28.1).
double equation_of_time(double julian_day_td, const SunEcliptic& sun) {
  double difference = sun.mean_longitude_deg - 0.0057183 - sun.right_ascension_deg +
                      equation_of_equinoxes_deg(julian_day_td, sun.obliquity_deg);
  difference = std::fmod(difference + 540.0, 360.0) - 180.0;
  return 4.0 * difference;
}

/// Mean sidereal time at Greenwich, degrees (Meeus, equation 12.4).
double sidereal_deg(double jd) {
  const double d = jd - 2451545.0;
  const double t = d / 36525.0;
  return turn(280.46061837 + 360.98564736629 * d + t * t * (0.000387933 - t / 38710000.0));
}

/// Hour angle at which the sun stands `depression_deg` below the horizon, degrees; beyond 180 or below 0: no
/// crossing.
double crossing_cosine(double latitude_deg, double declination_deg, double depression_deg) {
  return (-sine(depression_deg) - sine(latitude_deg) * sine(declination_deg)) /
         (cosine(latitude_deg) * cosine(declination_deg));
}

}  // namespace

double julian_day(Instant instant) {
  return 2440587.5 + static_cast<double>(instant.time_since_epoch().count()) / 86400.0;
}

SunEcliptic sun_ecliptic(double julian_day_td) {
  const double t = (julian_day_td - 2451545.0) / 36525.0;
  SunEcliptic sun{};
  sun.mean_longitude_deg = turn(280.46646 + t * (36000.76983 + t * 0.0003032));
  sun.mean_anomaly_deg = turn(357.52911 + t * (35999.05029 - t * 0.0001537));
  const double eccentricity = 0.016708634 - t * (0.000042037 + t * 0.0000001267);
  const double m = sun.mean_anomaly_deg;
  sun.equation_of_centre_deg = (1.914602 - t * (0.004817 + t * 0.000014)) * sine(m) +
                               (0.019993 - t * 0.000101) * sine(2 * m) + 0.000289 * sine(3 * m);
  const double true_longitude = sun.mean_longitude_deg + sun.equation_of_centre_deg;
  sun.radius_au = 1.000001018 * (1 - eccentricity * eccentricity) /
                  (1 + eccentricity * cosine(m + sun.equation_of_centre_deg));
  const double node = 125.04 - 1934.136 * t;
  sun.apparent_longitude_deg = turn(true_longitude - 0.00569 - 0.00478 * sine(node));
  const double mean_obliquity =
      23.0 + 26.0 / 60 + 21.448 / 3600 - t * (46.8150 + t * (0.00059 - t * 0.001813)) / 3600;
  sun.obliquity_deg = mean_obliquity + 0.00256 * cosine(node);
  const double lambda = sun.apparent_longitude_deg;
  sun.right_ascension_deg = turn(arc(std::atan2(cosine(sun.obliquity_deg) * sine(lambda), cosine(lambda))));
  sun.declination_deg = arc(std::asin(sine(sun.obliquity_deg) * sine(lambda)));
  return sun;
}

SunPosition sun_position(Instant instant, const LatLon& place) {
  const double jd = julian_day(instant);
  const double jd_td = dynamical_day(jd);
  const SunEcliptic sun = sun_ecliptic(jd_td);
  SunPosition position;
  position.declination_deg = sun.declination_deg;
  position.right_ascension_deg = sun.right_ascension_deg;
  position.equation_of_time_min = equation_of_time(jd_td, sun);
  const double hour_angle = sidereal_deg(jd) + equation_of_equinoxes_deg(jd_td, sun.obliquity_deg) +
                            place.lon_deg - sun.right_ascension_deg;
  const double lat = place.lat_deg, dec = sun.declination_deg;
  position.elevation_deg =
      arc(std::asin(sine(lat) * sine(dec) + cosine(lat) * cosine(dec) * cosine(hour_angle)));
  position.azimuth_deg =
      turn(180.0 + arc(std::atan2(sine(hour_angle) * cosine(dec),
                                  cosine(hour_angle) * sine(lat) * cosine(dec) - sine(dec) * cosine(lat))));
  return position;
}

SunTimes sun_times(Date date, const LatLon& place, int offset_min, double depression_deg) {
  const auto midnight_s = static_cast<double>(Instant{date}.time_since_epoch().count());
  const double midday_s = midnight_s + (720.0 - offset_min) * 60.0;
  auto day_at = [](double unix_s) { return dynamical_day(2440587.5 + unix_s / 86400.0); };
  auto sun_at = [&](double unix_s) { return sun_ecliptic(day_at(unix_s)); };
  // The transit nearest to the civil midday: the day's sun belongs to it whatever the zone's distance from
  // its meridian.
  auto transit_s = [&](double unix_s) {
    double t = midnight_s + 43200.0 - place.lon_deg * 240.0 -
               equation_of_time(day_at(unix_s), sun_at(unix_s)) * 60.0;
    while (t - midday_s > 43200.0) t -= 86400.0;
    while (midday_s - t > 43200.0) t += 86400.0;
    return t;
  };
  SunTimes times;
  auto event = [&](double sign) -> std::optional<Instant> {
    double t = transit_s(midday_s);
    for (int i = 0; i < 8; ++i) {
      const double c = crossing_cosine(place.lat_deg, sun_at(t).declination_deg, depression_deg);
      if (c < -1) times.always_up = true;
      if (c < -1 || c > 1) return std::nullopt;
      const double next = transit_s(t) + sign * arc(std::acos(c)) * 240.0;
      const bool settled = std::abs(next - t) < 0.05;
      t = next;
      if (settled) break;
    }
    return Instant{std::chrono::seconds{std::llround(t)}};
  };
  times.rise = event(-1);
  times.set = event(+1);
  return times;
}

}  // namespace stumpwise::earth
