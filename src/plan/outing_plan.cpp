#include "stumpwise/plan/outing_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/earth/sun.h"
#include "stumpwise/earth/zone.h"

namespace stumpwise::plan {
namespace {

double minutes_between(Instant from, Instant to) {
  return static_cast<double>((to - from).count()) / 60.0;
}
Instant later(Instant from, double minutes) {
  return from + std::chrono::seconds{std::llround(minutes * 60)};
}

void check_task(const PlanTask& task) {
  if (!(task.hours > 0 && task.hours <= kMostHours))
    throw Error(ErrorCode::bad_value,
                fmt::format("--hours {}: above 0 and at most {}", task.hours, kMostHours));
  if (task.buffer_min < 0 || task.buffer_min > 600)
    throw Error(ErrorCode::bad_value, fmt::format("--buffer {}: 0 to 600 minutes", task.buffer_min));
  if (task.factor < 1 || task.factor > 5)
    throw Error(ErrorCode::bad_value, fmt::format("--factor {}: 1 to 5", task.factor));
  if (!valid(task.start))
    throw Error(ErrorCode::bad_value, fmt::format("--start {},{}: latitude -90 to 90, longitude -180 to 180",
                                                  task.start.lat_deg, task.start.lon_deg));
}

earth::PlanePoint on_ground(const LatLon& place, const earth::Utm& utm, const raster::Grid& wall,
                            const char* what) {
  const earth::PlanePoint point = utm.forward(place);
  const raster::Georef& g = wall.georef;
  if (!g.contains(point.x_m, point.y_m)) {
    const LatLon nw = utm.inverse({g.left_m, g.top_m});
    const LatLon se = utm.inverse({g.left_m + g.cols * g.cell_m, g.top_m - g.rows * g.cell_m});
    throw Error(
        ErrorCode::bad_value,
        fmt::format("the {} {:.5f},{:.5f} lies outside the ground", what, place.lat_deg, place.lon_deg),
        fmt::format("The ground reaches from {:.4f},{:.4f} to {:.4f},{:.4f} (latitude,longitude).",
                    se.lat_deg, nw.lon_deg, nw.lat_deg, se.lon_deg));
  }
  if (wall.value(point.x_m, point.y_m).value_or(1) > 0)
    throw Error(
        ErrorCode::bad_value,
        fmt::format(
            "the {} {:.5f},{:.5f} lies in water, on a cliff, on closed land or where no elevation is known",
            what, place.lat_deg, place.lon_deg),
        "Move it to where you can stand: a road, a path, a meadow.");
  return point;
}

/// Search parameters of a mix of targets: each target's own, weighted by what of it is expected in the
/// patches of the day. One walks at one speed and sees each kind from its own distance, so the mean is what
/// the sum of the finds follows.
struct SearchMix {
  double sweep_width_m = 0, search_speed_m_per_min = 0, shape_r = 0;
};
SearchMix search_mix(const std::vector<Target>& targets, const PatchExpectation& expected) {
  SearchMix mix;
  double total = 0;
  for (std::size_t t = 0; t < targets.size(); ++t) {
    double weight = 1e-9;
    for (double n : expected.by_target[t]) weight += n;
    total += weight;
    mix.sweep_width_m += weight * targets[t].search.sweep_width_m;
    mix.search_speed_m_per_min += weight * targets[t].search.search_speed_m_per_min;
    mix.shape_r += weight * targets[t].search.dispersion_r;
  }
  mix.sweep_width_m /= total;
  mix.search_speed_m_per_min /= total;
  mix.shape_r /= total;
  return mix;
}

walk::WalkRequest request_for(const PlanTask& task, const earth::PlanePoint& start,
                              const std::optional<earth::PlanePoint>& end, const SearchMix& mix,
                              const DayClock& clock) {
  walk::WalkRequest request;
  request.start = start;
  request.end = end;
  request.budget_min = task.hours * 60;
  request.daylight_min = minutes_between(clock.depart, clock.deadline);
  request.return_factor = task.factor;
  request.sweep_width_m = mix.sweep_width_m;
  request.search_speed_m_per_min = mix.search_speed_m_per_min;
  request.shape_r = mix.shape_r;
  request.must = task.must;
  request.never = task.never;
  request.alternatives = task.alternatives;
  return request;
}

std::string minutes_text(double minutes) {
  const int whole = static_cast<int>(std::ceil(minutes));
  return whole < 60 ? fmt::format("{} min", whole) : fmt::format("{} h {:02d} min", whole / 60, whole % 60);
}

/// Says why no walk fits: too little daylight after leaving, or too few hours.
Error no_walk(const PlanTask& task, const DayClock& clock, const walk::WalkRequest& request,
              const std::optional<double>& shortest_min) {
  if (!shortest_min)
    return Error(ErrorCode::not_possible, "no patch worth searching can be reached on foot from the start",
                 "Water, cliffs or closed land lie between, or nothing is expected of these species on this "
                 "day. Try another start, day or species.");
  const Instant latest = later(clock.deadline, -*shortest_min);
  if (request.daylight_min < *shortest_min)
    return Error(
        ErrorCode::not_possible,
        fmt::format("leaving at {} is too late: the walk must end by {} ({:.0f} min before sunset at {})",
                    earth::local_clock(task.zone, clock.depart),
                    earth::local_clock(task.zone, clock.deadline), task.buffer_min,
                    earth::local_clock(task.zone, clock.sunset)),
        fmt::format("The latest start that still works is {}.", earth::local_clock(task.zone, latest)));
  return Error(
      ErrorCode::not_possible,
      fmt::format("no patch can be reached, searched and left within {}", minutes_text(task.hours * 60)),
      fmt::format("The shortest walk that works takes {}: say --hours {:.2f} or more.",
                  minutes_text(*shortest_min), std::ceil(*shortest_min / 60 * 100) / 100));
}

/// The walk itself must fit too: each stop has room until its turn-back time, the end until the deadline.
Instant latest_departure(const DayClock& clock, const walk::Walk& walk, double daylight_min) {
  double room = daylight_min - walk.total_min;
  for (const walk::Stop& stop : walk.stops) room = std::min(room, stop.turn_back_min - stop.leave_min);
  return later(clock.depart, std::max(0.0, room));
}

}  // namespace

DayClock day_clock(const LatLon& place, const std::string& zone, Date date, int depart_clock_min,
                   double buffer_min) {
  const int offset_min = earth::offset_at(zone, earth::local_instant(zone, date, 720));
  const auto sun = earth::sun_times(date, place, offset_min);
  const auto civil = earth::sun_times(date, place, offset_min, earth::kCivilDepression_deg);
  if (!sun.set)
    throw Error(ErrorCode::no_data,
                fmt::format("the sun does not set at {:.3f},{:.3f} on {}", place.lat_deg, place.lon_deg,
                            base::to_text(date)),
                "A turn-back time needs a sunset; choose it yourself on such a day.");
  DayClock clock;
  clock.depart = earth::local_instant(zone, date, depart_clock_min);
  clock.sunset = *sun.set;
  clock.civil_dusk = civil.set ? *civil.set : *sun.set;
  clock.deadline = later(*sun.set, -buffer_min);
  return clock;
}

OutingPlan make_plan(const PlanTask& task, std::vector<Target>& targets, const raster::Grid& elevation_m,
                     const raster::Grid& wall, int threads, const base::Progress& progress) {
  check_task(task);
  const earth::Utm utm = earth::Utm::from_epsg(wall.georef.epsg);
  const earth::PlanePoint start = on_ground(task.start, utm, wall, "start");
  std::optional<earth::PlanePoint> end;
  if (task.end) end = on_ground(*task.end, utm, wall, "end");

  OutingPlan plan;
  if (progress) progress(0.1, "prospects");
  prepare(targets, threads);
  const raster::Grid map = joint_map(targets, threads);
  base::check_interrupt();
  std::vector<DayClock> clocks;
  double most_daylight_min = 0;
  for (Date date : task.dates) {
    clocks.push_back(day_clock(task.start, task.zone, date, task.depart_clock_min, task.buffer_min));
    most_daylight_min =
        std::max(most_daylight_min, minutes_between(clocks.back().depart, clocks.back().deadline));
  }
  if (progress) progress(0.4, "ways between the patches");
  walk::WalkRequest widest = request_for(task, start, end, {1, 1, 1}, clocks.front());
  // Where it is too late for the hours asked, the ways are looked for all the same: the latest start that
  // works is to be told.
  widest.daylight_min = std::max(most_daylight_min, widest.budget_min);
  const walk::PatchReach reach{start, end.value_or(start), widest.budget_min};
  const walk::Planner planner({&elevation_m, &wall}, widest,
                              walk::find_patches(map, &wall, kPatchSide_m, kMostPatches, &reach), threads,
                              progress);
  plan.patches = planner.patches();

  std::optional<std::size_t> best;
  walk::WalkResult best_result;
  std::optional<Error> first_error;
  for (std::size_t day = 0; day < task.dates.size(); ++day) {
    base::check_interrupt();
    const PatchExpectation expected = expectation(targets, plan.patches, day);
    const SearchMix mix = search_mix(targets, expected);
    walk::WalkRequest request = request_for(task, start, end, mix, clocks[day]);
    if (task.dates.size() > 1) request.alternatives = 0;
    walk::WalkResult result = planner.solve(expected.median, expected.low90, expected.high90, request);
    RankedDay ranked{task.dates[day], task.basis[day], 0, 0, 0, ""};
    if (result.walks.empty()) {
      const Error error = no_walk(task, clocks[day], request, result.shortest_min);
      ranked.why_not = error.what();
      if (!first_error) first_error = error;
    } else {
      const walk::Walk& walk = result.walks.front();
      ranked.median_finds = walk.expected;
      ranked.low90 = walk.low90;
      ranked.high90 = walk.high90;
      if (!best || walk.expected > plan.days[*best].median_finds) {
        best = day;
        best_result = std::move(result);
        plan.sweep_width_m = mix.sweep_width_m;
        plan.search_speed_m_per_min = mix.search_speed_m_per_min;
        plan.expected_by_target = expected.by_target;
      }
    }
    plan.days.push_back(ranked);
  }
  if (!best) throw *first_error;
  if (task.dates.size() > 1 && task.alternatives > 0) {
    const PatchExpectation expected = expectation(targets, plan.patches, *best);
    best_result = planner.solve(expected.median, expected.low90, expected.high90,
                                request_for(task, start, end, search_mix(targets, expected), clocks[*best]));
  }
  plan.date = task.dates[*best];
  plan.clock = clocks[*best];
  plan.walk = best_result.walks.front();
  plan.alternatives.assign(best_result.walks.begin() + 1, best_result.walks.end());
  plan.latest_depart =
      latest_departure(plan.clock, plan.walk, minutes_between(plan.clock.depart, plan.clock.deadline));
  return plan;
}

}  // namespace stumpwise::plan
