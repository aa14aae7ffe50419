#include <fmt/format.h>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/earth/projection.h"
#include "targets.h"

namespace stumpwise::app {
namespace {

constexpr int kMostDays = 60;

struct OutlookPlace {
  LatLon place;
  double elevation_m;
};

OutlookPlace outlook_place(Session& session, const records::GroundRecord& ground,
                           const std::optional<LatLon>& at) {
  const raster::Grid& dem = session.elevation(ground);
  if (!at) return {centre_of(ground), typical_elevation_m(dem)};
  if (!valid(*at))
    throw Error(ErrorCode::bad_usage, fmt::format("--at {},{}: latitude -90 to 90, longitude -180 to 180",
                                                  at->lat_deg, at->lon_deg));
  const auto point = earth::Utm::from_epsg(ground.epsg).forward(*at);
  const auto elevation_m = dem.bilinear(point.x_m, point.y_m);
  if (!elevation_m)
    throw Error(ErrorCode::bad_value,
                fmt::format("{:.5f},{:.5f} lies outside the ground \"{}\" or where no elevation is known",
                            at->lat_deg, at->lon_deg, ground.name));
  return {*at, *elevation_m};
}

Json day_json(const season::IndexDay& day) {
  return {
      {"date", base::to_text(day.date)},  {"index", rounded(day.index, 4)}, {"low90", rounded(day.low90, 4)},
      {"high90", rounded(day.high90, 4)}, {"driver", day.driver},           {"limit", day.limit},
      {"basis", basis_code(day.basis)}};
}

}  // namespace

Json outlook(Session& session, const OutlookRequest& request) {
  if (request.days < 1 || request.days > kMostDays)
    throw Error(ErrorCode::bad_usage, fmt::format("--days {}: 1 to {}", request.days, kMostDays));
  const auto ground = session.ground(request.ground);
  std::vector<std::string> said;
  const auto profiles = wanted_species(session, request.species, ground.region, said);
  const OutlookPlace where = outlook_place(session, ground, request.at);
  const WeatherContext context = weather_context(session, where.place, where.elevation_m);
  const Date first = request.from.value_or(session.today());
  const Date last = base::plus_days(first, request.days - 1);
  const weather::Site site = site_at(where.place, where.elevation_m);
  const Date known = std::min(last, last_observed(context, session.today()));
  const auto observed = observed_states(context, site, known, base::days_between(first, known) + 420);

  std::vector<std::string> notes = context.notes;
  notes.insert(notes.begin(), said.begin(), said.end());
  const auto models = models_of(session, ground.name, profiles, notes);
  struct Row {
    double best;
    Json json;
  };
  std::vector<Row> rows;
  bool default_guild = false;
  for (std::size_t s = 0; s < profiles.size(); ++s) {
    const species::Profile* profile = profiles[s];
    const auto days = site_outlook(context, with_variant(profile->triggers, models[s].variant), site,
                                   observed, first, request.days);
    const auto without = first_day_without(days, first, request.days);
    if (days.empty()) throw no_weather(first);
    if (without && s == 0) notes.push_back(no_weather(*without).what());
    default_guild = default_guild || profile->triggers.default_guild;
    Json list = Json::array();
    for (const auto& day : days) list.push_back(day_json(day));
    rows.push_back({days.empty() ? 0 : days.front().index,
                    {{"id", profile->id},
                     {"name", profile->name()},
                     {"vernacular", profile->vernacular()},
                     {"group", species::group_name(profile->group)},
                     {"default_guild", profile->triggers.default_guild},
                     {"days", list}}});
  }
  std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.best > b.best; });
  Json species = Json::array();
  for (Row& row : rows) species.push_back(std::move(row.json));

  Cautions cautions(caution::Place::outlook);
  const bool local_records = !session.book().outings(ground.name, false).empty();
  if (!local_records) cautions.add("no-local-records");
  if (default_guild) cautions.add("default-guild");
  if (base::days_between(session.today(), last) > 0) cautions.add("forecast-fades");
  cautions.add_for(ground, context.fit.far, context.gap_left);
  return with_cautions({{"ground", ground.name},
                        {"invented", ground.invented},
                        {"lat", rounded(where.place.lat_deg, 6)},
                        {"lon", rounded(where.place.lon_deg, 6)},
                        {"elevation_m", rounded(where.elevation_m, 0)},
                        {"from", base::to_text(first)},
                        {"species", species},
                        {"station", station_json(context)},
                        {"local_records", local_records},
                        {"notes", notes}},
                       cautions.list());
}

}  // namespace stumpwise::app
