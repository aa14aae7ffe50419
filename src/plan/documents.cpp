#include "stumpwise/plan/documents.h"

#include <fmt/format.h>

#include "stumpwise/earth/projection.h"
#include "stumpwise/earth/zone.h"
#include "stumpwise/exchange/gpx.h"

namespace stumpwise::plan {
namespace {

Instant later(Instant from, double minutes) {
  return from + std::chrono::seconds{std::llround(minutes * 60)};
}

class GpxWriter {
 public:
  explicit GpxWriter(const DocumentInput& input)
      : input_(input), plan_(*input.plan), utm_(earth::Utm::from_epsg(input.layers->georef.epsg)) {}

  std::string text() const {
    exchange::Gpx gpx;
    gpx.name = fmt::format("{}{} {}", input_.invented ? "INVENTED DEMO: " : "", input_.ground_title,
                           base::to_text(plan_.date));
    gpx.description =
        fmt::format("Sunset {}, be back by {}. A plan for looking; it says nothing about what may be eaten.",
                    clock(plan_.clock.sunset), clock(plan_.clock.deadline));
    gpx.routes.push_back(whole_walk());
    for (std::size_t i = 0; i < plan_.walk.stops.size(); ++i) {
      const walk::Stop& stop = plan_.walk.stops[i];
      gpx.waypoints.push_back(waypoint(i));
      exchange::GpxRoute back{
          fmt::format("Way back from stop {}", i + 1), fmt::format("{:.0f} min", stop.return_min), {}};
      for (const auto& point : walk::densify(stop.return_line)) back.points.push_back(at(point));
      gpx.routes.push_back(std::move(back));
    }
    return exchange::write_gpx(gpx);
  }

 private:
  std::string clock(Instant instant) const { return earth::local_clock(input_.task->zone, instant); }
  std::string clock_after(double minutes) const { return clock(later(plan_.clock.depart, minutes)); }

  exchange::GpxPoint at(const earth::PlanePoint& point) const {
    exchange::GpxPoint result;
    result.place = utm_.inverse(point);
    result.elevation_m = input_.layers->elevation_m.bilinear(point.x_m, point.y_m);
    return result;
  }

  exchange::GpxPoint waypoint(std::size_t i) const {
    const walk::Stop& stop = plan_.walk.stops[i];
    exchange::GpxPoint point = at(stop.place);
    point.name = fmt::format("Stop {}: back by {}", i + 1, clock_after(stop.turn_back_min));
    point.comment = fmt::format(
        "arrive {}, search {:.0f} min, leave by {}, turn back at the latest {}, {:.0f} min to the end",
        clock_after(stop.arrive_min), stop.search_min, clock_after(stop.leave_min),
        clock_after(stop.turn_back_min), stop.return_min);
    return point;
  }

  std::string end_name(int stop_index, bool from) const {
    if (stop_index >= 0) return fmt::format("Stop {}", stop_index + 1);
    return from ? "Start" : "End";
  }

  /// Every leg's vertices at most 15 m apart; the joints carry names, so that a reader can cut the route into
  /// its legs.
  exchange::GpxRoute whole_walk() const {
    exchange::GpxRoute route{
        "Walk",
        fmt::format("leave {}, end {}", clock(plan_.clock.depart), clock_after(plan_.walk.total_min)),
        {}};
    for (const walk::Leg& leg : plan_.walk.legs) {
      const auto line = walk::densify(leg.line);
      for (std::size_t i = route.points.empty() ? 0 : 1; i < line.size(); ++i)
        route.points.push_back(at(line[i]));
      if (route.points.size() == line.size()) route.points.front().name = end_name(leg.from, true);
      route.points.back().name = end_name(leg.to, false);
      route.points.back().comment = fmt::format("{:.1f} min walk", leg.minutes);
    }
    return route;
  }

  const DocumentInput& input_;
  const OutingPlan& plan_;
  earth::Utm utm_;
};

}  // namespace

std::string plan_gpx(const DocumentInput& input) {
  return GpxWriter(input).text();
}

}  // namespace stumpwise::plan
