#include <fmt/format.h>

#include <algorithm>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"
#include "stumpwise/earth/zone.h"
#include "stumpwise/exchange/gpx.h"

namespace stumpwise::app {
namespace {

Json place_json(const std::optional<LatLon>& place) {
  return place ? Json{{"lat", place->lat_deg}, {"lon", place->lon_deg}} : Json();
}

Json find_json(const records::Find& find) {
  return {{"id", find.id},
          {"outing", find.outing ? Json(find.outing) : Json()},
          {"species", find.species},
          {"name_as_recorded", find.name_as_recorded},
          {"date", base::to_text(find.date)},
          {"place", place_json(find.place)},
          {"accuracy_m", find.accuracy_m},
          {"pieces", find.pieces},
          {"host_genus", find.host_genus},
          {"host_told_by", find.host_told_by},
          {"substrate", find.substrate},
          {"cap_mm", find.cap_mm ? Json(*find.cap_mm) : Json()},
          {"note", find.note}};
}

Json outing_json(const records::Outing& outing) {
  return {{"id", outing.id},
          {"ground", outing.ground},
          {"date", base::to_text(outing.date)},
          {"start", outing.start_clock},
          {"minutes", rounded(outing.minutes, 1)},
          {"search_minutes", outing.search_minutes ? Json(*outing.search_minutes) : Json()},
          {"people", outing.people},
          {"observer", outing.observer},
          {"targets", outing.targets},
          {"finds", outing.finds.size()},
          {"blank", records::is_blank(outing)},
          {"invented", outing.invented}};
}

/// Date, start and minutes from the track's own times, where it has them.
void take_times(records::Outing& outing, const std::string& zone, std::vector<std::string>& notes) {
  const auto timed = [](const records::TrackPoint& p) { return p.time.has_value(); };
  const auto first = std::find_if(outing.track.begin(), outing.track.end(), timed);
  const auto last = std::find_if(outing.track.rbegin(), outing.track.rend(), timed);
  if (first == outing.track.end()) {
    notes.push_back("the track has no times: its length alone tells the effort");
    return;
  }
  outing.date = earth::local_date(zone, *first->time);
  outing.start_clock = earth::local_clock(zone, *first->time);
  outing.minutes = static_cast<double>((*last->time - *first->time).count()) / 60.0;
}

}  // namespace

Json outing_add(Session& session, const OutingAddRequest& request) {
  const auto ground = session.ground(request.ground);
  std::vector<std::string> notes;
  records::Outing outing;
  outing.ground = ground.name;
  outing.people = request.people;
  outing.observer = request.observer;
  outing.note = request.note;
  outing.invented = ground.invented;
  outing.date = request.date.value_or(session.today());
  if (request.people < 1 || request.people > 500)
    throw Error(ErrorCode::bad_usage, fmt::format("--people {}: 1 to 500", request.people));
  if (request.targets.empty())
    throw Error(ErrorCode::bad_usage, "no species that was looked for",
                "A day without finds is data only for what was looked for: --target NAME.");
  for (const std::string& name : request.targets) {
    const std::string& id = session.library().require(name, &notes).id;
    if (std::find(outing.targets.begin(), outing.targets.end(), id) == outing.targets.end())
      outing.targets.push_back(id);
  }
  if (!request.gpx.empty()) {
    auto parsed = exchange::read_gpx(base::read_file(request.gpx), request.gpx);
    base::throw_on_fault(request.gpx, parsed.issues);
    outing.track = exchange::track_points(parsed.value);
    if (outing.track.empty())
      throw Error(ErrorCode::bad_format, request.gpx + ": holds no track",
                  "An outing needs a track (trk), not a route or waypoints.");
    take_times(outing, ground.zone, notes);
  } else if (!request.minutes) {
    throw Error(ErrorCode::bad_usage, "neither a track nor minutes", "Give --gpx FILE or --minutes N.");
  }
  if (request.date) outing.date = *request.date;
  if (request.minutes) outing.minutes = *request.minutes;
  outing.search_minutes = request.search_minutes;
  if (outing.minutes < 0 || outing.minutes > 48 * 60)
    throw Error(ErrorCode::bad_usage, fmt::format("--minutes {}: 0 to 2880", outing.minutes));
  if (outing.search_minutes && (*outing.search_minutes < 0 || *outing.search_minutes > outing.minutes))
    throw Error(ErrorCode::bad_usage, fmt::format("--search-minutes {}: 0 to the {} minutes of the outing",
                                                  *outing.search_minutes, outing.minutes));
  if (outing.date > session.today())
    throw Error(ErrorCode::bad_usage,
                base::to_text(outing.date) + " lies in the future: an outing is what happened");
  if (request.at && outing.track.empty())
    outing.track.push_back({*request.at, std::nullopt, std::nullopt, 0});
  outing.id = session.book().add_outing(outing);
  Json result = outing_json(outing);
  result["points"] = outing.track.size();
  result["notes"] = notes;
  return with_cautions(std::move(result), caution::cautions_for(caution::Place::records));
}

Json outing_list(Session& session, const std::string& ground) {
  Json list = Json::array();
  std::size_t blank = 0;
  const auto there = session.ground(ground);
  const auto outings = session.book().outings(there.name, false);
  for (const auto& outing : outings) {
    list.push_back(outing_json(outing));
    blank += records::is_blank(outing);
  }
  Cautions cautions(caution::Place::records);
  cautions.add_for(there, false, false);
  return with_cautions({{"ground", there.name},
                        {"invented", there.invented},
                        {"outings", list},
                        {"count", outings.size()},
                        {"blank", blank}},
                       cautions.list());
}

Json outing_show(Session& session, std::int64_t id) {
  const auto outing = session.book().outing(id);
  if (!outing)
    throw Error(ErrorCode::not_found, fmt::format("there is no outing {}", id), "See stumpwise outing list.");
  Json result = outing_json(*outing), finds = Json::array();
  for (const auto& find : outing->finds) finds.push_back(find_json(find));
  result["points"] = outing->track.size();
  result["note"] = outing->note;
  result["find_list"] = finds;
  return with_cautions(std::move(result), caution::cautions_for(caution::Place::records));
}

Json find_add(Session& session, const records::Find& given, const std::string& species_name) {
  records::Find find = given;
  std::vector<std::string> said;
  find.species = session.library().require(species_name, &said).id;
  find.name_as_recorded = species_name;
  if (find.place && !valid(*find.place))
    throw Error(ErrorCode::bad_usage, fmt::format("--at {},{}: latitude -90 to 90, longitude -180 to 180",
                                                  find.place->lat_deg, find.place->lon_deg));
  if (find.pieces < 1 || find.pieces > 100000)
    throw Error(ErrorCode::bad_usage, fmt::format("--pieces {}: 1 to 100000", find.pieces));
  if (find.date > session.today())
    throw Error(ErrorCode::bad_usage, base::to_text(find.date) + " lies in the future");
  if (find.outing && !session.book().outing(find.outing))
    throw Error(ErrorCode::not_found, fmt::format("there is no outing {}", find.outing),
                "See stumpwise outing list.");
  find.id = session.book().add_find(find);
  Json result = find_json(find);
  result["notes"] = said;
  Cautions cautions(caution::Place::harvest);
  return with_cautions(std::move(result), cautions.list());
}

Json find_list(Session& session, const std::string& ground) {
  Json list = Json::array();
  const auto there = session.ground(ground);
  for (const auto& find : session.book().finds(there.name)) list.push_back(find_json(find));
  Cautions cautions(caution::Place::records);
  cautions.add_for(there, false, false);
  return with_cautions({{"ground", there.name}, {"invented", there.invented}, {"finds", list}},
                       cautions.list());
}

}  // namespace stumpwise::app
