#include <fmt/format.h>

#include <cmath>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/earth/sun.h"
#include "stumpwise/earth/zone.h"
#include "stumpwise/plan/outing_plan.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::app {
namespace {

void check(const TurnbackRequest& request) {
  auto need = [](bool ok, const std::string& text) {
    if (!ok) throw Error(ErrorCode::bad_usage, text);
  };
  need(request.km > 0 && request.km <= 200, fmt::format("--km {}: above 0 and at most 200", request.km));
  need(std::abs(request.climb_m) <= 9000, fmt::format("--climb {}: -9000 to 9000 metres", request.climb_m));
  need(std::abs(request.climb_m) <= request.km * 1000,
       fmt::format("--climb {} m over {} km is steeper than 45 degrees", request.climb_m, request.km));
  need(request.buffer_min >= 0 && request.buffer_min <= 600,
       fmt::format("--buffer {}: 0 to 600 minutes", request.buffer_min));
  need(request.factor >= 1 && request.factor <= 5, fmt::format("--factor {}: 1 to 5", request.factor));
}

}  // namespace

Json turnback(Session& session, const TurnbackRequest& request) {
  check(request);
  LatLon place;
  std::string zone = request.zone;
  if (session.has_book() && zone.empty()) zone = session.ground(request.ground).zone;
  if (zone.empty())
    throw Error(ErrorCode::bad_usage, "the time zone is not known",
                "Give --tz Area/Place, or a book whose ground has one.");
  if (!request.at) throw Error(ErrorCode::bad_usage, "the place is not known", "Give --at LAT,LON.");
  place = *request.at;
  if (!valid(place))
    throw Error(ErrorCode::bad_usage, fmt::format("--at {},{}: latitude -90 to 90, longitude -180 to 180",
                                                  place.lat_deg, place.lon_deg));

  const double slope = request.climb_m / (request.km * 1000);
  const double factor = request.off_trail ? walk::kOffPath : 1.0;
  const double out_min = request.km * 1000 / (walk::tobler_m_per_min(slope) * factor);
  const double back_min = request.km * 1000 / (walk::tobler_m_per_min(-slope) * factor);
  const int depart = request.depart_clock_min.value_or(0);
  const plan::DayClock clock = plan::day_clock(place, zone, request.date, depart, request.buffer_min);
  const Instant turn = clock.deadline - std::chrono::seconds{std::llround(back_min * request.factor * 60)};
  const Instant latest = turn - std::chrono::seconds{std::llround(out_min * 60)};
  if (request.depart_clock_min && clock.depart > latest)
    throw Error(
        ErrorCode::not_possible,
        fmt::format("leaving at {} is too late: {:.0f} min out would arrive after the turn-back time {}",
                    earth::local_clock(zone, clock.depart), out_min, earth::local_clock(zone, turn)),
        fmt::format("The latest start that still works is {}.", earth::local_clock(zone, latest)));
  return with_cautions(
      {{"date", base::to_text(request.date)},
       {"zone", zone},
       {"sunset", earth::local_text(zone, clock.sunset)},
       {"civil_dusk", earth::local_text(zone, clock.civil_dusk)},
       {"deadline", earth::local_text(zone, clock.deadline)},
       {"outbound_minutes", rounded(out_min, 1)},
       {"return_minutes", rounded(back_min, 1)},
       {"turn_back", earth::local_text(zone, turn)},
       {"latest_depart", earth::local_text(zone, latest)},
       {"buffer_minutes", request.buffer_min},
       {"factor", request.factor},
       {"depart", request.depart_clock_min ? Json(earth::local_text(zone, clock.depart)) : Json()},
       {"off_trail", request.off_trail}},
      caution::cautions_for(caution::Place::turnback));
}

}  // namespace stumpwise::app
