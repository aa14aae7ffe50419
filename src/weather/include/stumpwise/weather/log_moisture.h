#pragma once

/// Moisture of heavy dead wood as a share of fibre saturation (about 30 % of dry mass): 1 = at or over
/// saturation, the state in which wood rots; 0 = oven dry.
///
/// Lagged response of fire-danger practice (Cohen & Deeming 1985, GTR PSW-82; from memory): with tau the time
/// in which wood makes up 63 % of a difference (100 h: 2.5 to 7.6 cm thick; 1000 h: 7.6 to 20 cm),
///   m += (boundary - m) (1 - exp(-24 / tau)),  boundary = [(24 - h) e + h w] / 24,  kept at most 1
///   h = wet hours = rain / 1.27 mm an hour, at most 24
///   w = (76 + 2.7 h) / 30, the wet surface: 76 to 141 % of dry mass
///   e = 0.15 + 0.5 exp(-ET0 / 2 mm), the dry surface: ours. Wood in air comes to 5 to 20 % of dry mass; the
///   days' ET0 stands for
///       the dryness of the air (0 mm: 19.5 %; 2 mm: 10 %; 5 mm: 5.7 %).
/// Their seven-day mean of the boundary is left out: the lag smooths enough and a state of one number can be
/// continued. A log on the ground also drinks from the soil, which is not in here.
namespace stumpwise::weather {

/// `moisture` 0 to 1; rain_mm and et0_mm of the day, not negative; tau_h > 0.
double next_log_moisture(double moisture, double rain_mm, double et0_mm, double tau_h);

}  // namespace stumpwise::weather
