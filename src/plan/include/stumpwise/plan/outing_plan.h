#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/date.h"
#include "stumpwise/plan/targets.h"
#include "stumpwise/walk/route.h"

namespace stumpwise::plan {

/// What a plan is asked.
struct PlanTask {
  LatLon start;
  std::optional<LatLon> end;
  std::string zone;
  std::vector<Date> dates;           ///< rising; more than one: they are ranked and the best is planned
  std::vector<season::Basis> basis;  ///< of each date
  int depart_clock_min = 9 * 60;
  double hours = 0;
  double buffer_min = 45;        ///< before sunset
  double factor = 1.25;          ///< on the minutes of the way back
  std::vector<int> must, never;  ///< patch ids
  int alternatives = 0;
};

struct RankedDay {
  Date date;
  season::Basis basis = season::Basis::observed;
  double median_finds = 0, low90 = 0, high90 = 0;
  std::string why_not;  ///< where no walk is possible that day
};

/// The clock of a day's walk.
struct DayClock {
  Instant depart, sunset, civil_dusk, deadline;
};

struct OutingPlan {
  Date date;
  DayClock clock{};
  Instant latest_depart{};      ///< leaving later, some stop would be left after its turn-back time
  std::vector<RankedDay> days;  ///< in order of date
  walk::Walk walk;
  std::vector<walk::Walk> alternatives;
  std::vector<walk::Patch> patches;
  double sweep_width_m = 0, search_speed_m_per_min = 0;  ///< of the mix of targets on the planned day
  std::vector<std::vector<double>> expected_by_target;   ///< [target][patch] on the planned day
};

/// Longest and shortest hours that a plan may be asked for.
inline constexpr double kMostHours = 24;
/// Size of a patch: what two or three people can call across, and about twenty minutes' search (common
/// practice).
inline constexpr double kPatchSide_m = 90;
inline constexpr int kMostPatches = 48;

/// Ranks the days and plans the best. Throws Error(bad_value) where the start lies outside the ground or in a
/// wall, Error(not_possible) where it leaves after the deadline (naming the latest start that works) or where
/// no patch can be reached and left within the hours (naming the shortest walk that works).
OutingPlan make_plan(const PlanTask& task, std::vector<Target>& targets, const raster::Grid& elevation_m,
                     const raster::Grid& wall, int threads, const base::Progress& progress);

/// Sunset, civil dusk and deadline of a date; Error(no_data) where the sun does not set (polar day or night).
DayClock day_clock(const LatLon& place, const std::string& zone, Date date, int depart_clock_min,
                   double buffer_min);

}  // namespace stumpwise::plan
