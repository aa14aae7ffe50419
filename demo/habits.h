#pragma once
#include <vector>

#include "land.h"

namespace stumpwise::demo {

struct Where {
  Cover cover;
  const char* genus;
  double per_ha;
};

/// A species but E01: on how many places, and what sets a place off. A place fruits when, inside its season,
/// the mean of seven days lies in its range and rain of `rain_days` passes its threshold; then after a delay,
/// for some weeks.
struct Habit {
  const char* species;
  std::vector<Where> where;
  const char* substrate;
  unsigned month, day;  ///< begin of its season
  int season_days;
  double low_degc, high_degc;  ///< mean of seven days
  double rain_mm;
  int rain_days;
  int delay_min, delay_max, seen_min, seen_max;  ///< days
  double chance;                                 ///< that the place bears at all in a season
  int flushes;
  double pieces, cap_mm, cap_sd_mm, sight_m;
};

/// Numbers of the demo's own (invented), not those of the profiles.
const std::vector<Habit>& habits();

}  // namespace stumpwise::demo
