#include <fmt/format.h>

#include <algorithm>

#include "access_mask.h"
#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/base/text.h"
#include "stumpwise/earth/geodesic.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/earth/zone.h"
#include "stumpwise/plan/documents.h"
#include "targets.h"

namespace stumpwise::app {

namespace {

constexpr int kMostDays = 30;

/// Everything of one plan, before and after it is computed.
struct PlanRun {
  records::GroundRecord ground;
  const GroundData* data = nullptr;
  plan::PlanTask task;
  std::vector<plan::Target> targets;
  raster::Grid wall;
  std::vector<std::string> notes;
  plan::OutingPlan plan;
  Json station;
  bool far_station = false, weather_gap = false;
  std::vector<records::HistoryArea> history;
};

plan::PlanTask task_of(Session& session, const PlanRequest& request, const records::GroundRecord& ground) {
  if (request.days < 1 || request.days > kMostDays)
    throw Error(ErrorCode::bad_usage, fmt::format("--days {}: 1 to {}", request.days, kMostDays));
  if (request.alternatives < 0 || request.alternatives > 5)
    throw Error(ErrorCode::bad_usage, fmt::format("--alternatives {}: 0 to 5", request.alternatives));
  plan::PlanTask task;
  task.start = request.start;
  task.end = request.end;
  task.zone = ground.zone;
  const Date first = request.date.value_or(session.today());
  for (int i = 0; i < request.days; ++i) task.dates.push_back(base::plus_days(first, i));
  task.depart_clock_min = request.depart_clock_min.value_or(9 * 60);
  task.hours = request.hours;
  task.buffer_min = request.buffer_min;
  task.factor = request.factor;
  task.must = request.must;
  task.never = request.never;
  task.alternatives = request.alternatives;
  return task;
}

PlanRun run_plan(Session& session, const PlanRequest& request) {
  PlanRun run;
  run.ground = session.ground(request.ground);
  run.task = task_of(session, request, run.ground);
  if (!(request.hours > 0 && request.hours <= plan::kMostHours))
    throw Error(ErrorCode::bad_usage,
                fmt::format("--hours {}: above 0 and at most {}", request.hours, plan::kMostHours));
  const auto profiles = wanted_species(session, request.species, run.ground.region, run.notes);
  run.data = &session.ground_data(run.ground);
  const raster::Grid& dem = run.data->layers.elevation_m;
  const WeatherContext context = weather_context(session, centre_of(run.ground), typical_elevation_m(dem));
  run.notes.insert(run.notes.end(), context.notes.begin(), context.notes.end());
  if (const auto note = cover_note(run.data->layers)) run.notes.push_back(*note);
  run.station = station_json(context);
  run.far_station = context.fit.far;
  run.weather_gap = context.gap_left;
  const auto models = models_of(session, run.ground.name, profiles, run.notes);
  IndexTable table = index_table(session, context, profiles, models, centre_of(run.ground),
                                 index_heights(dem), run.task.dates.front(), request.days);
  run.task.basis = table.basis;
  for (std::size_t s = 0; s < profiles.size(); ++s)
    run.targets.push_back({profiles[s]->id,
                           profiles[s]->name(),
                           ground::CovariateField(run.data->layers, *profiles[s]),
                           models[s].coefficients,
                           profiles[s]->ground,
                           std::move(table.by_species[s]),
                           {}});
  run.wall = wall_with_access(*run.data, session.book().access(run.ground.name), run.ground, run.task.dates,
                              run.notes);
  run.history = session.book().history(run.ground.name);
  run.plan = plan::make_plan(run.task, run.targets, dem, run.wall, base::default_threads(), session.progress);
  return run;
}

Instant later(Instant from, double minutes) {
  return from + std::chrono::seconds{std::llround(minutes * 60)};
}

/// Writes the JSON of a walk; all clock times in the ground's zone with offset.
class WalkJson {
 public:
  explicit WalkJson(const PlanRun& run) : run_(run), utm_(earth::Utm::from_epsg(run.ground.epsg)) {}

  Json legs(const walk::Walk& walk) const {
    Json list = Json::array();
    for (const walk::Leg& leg : walk.legs) {
      Json line = Json::array();
      for (const auto& point : walk::densify(leg.line)) {
        const LatLon place = utm_.inverse(point);
        line.push_back({rounded(place.lon_deg, 7), rounded(place.lat_deg, 7)});
      }
      list.push_back({{"from", name(leg.from, "start")},
                      {"to", name(leg.to, "end")},
                      {"minutes", rounded(leg.minutes, 2)},
                      {"length_m", rounded(leg.length_m, 1)},
                      {"climb_m", rounded(leg.climb_m, 1)},
                      {"line", line}});
    }
    return list;
  }

  Json stops(const walk::Walk& walk) const {
    Json list = Json::array();
    for (std::size_t i = 0; i < walk.stops.size(); ++i)
      list.push_back(stop(walk.stops[i], static_cast<int>(i) + 1));
    return list;
  }

  Json total(const walk::Walk& walk) const {
    double length_m = 0, climb_m = 0;
    for (const walk::Leg& leg : walk.legs) {
      length_m += leg.length_m;
      climb_m += leg.climb_m;
    }
    return {{"minutes", rounded(walk.total_min, 1)}, {"length_m", rounded(length_m, 0)},
            {"climb_m", rounded(climb_m, 0)},        {"median_finds", rounded(walk.expected, 4)},
            {"low90", rounded(walk.low90, 4)},       {"high90", rounded(walk.high90, 4)}};
  }

  std::string clock(double minutes) const { return at(later(run_.plan.clock.depart, minutes)); }
  std::string at(Instant instant) const { return earth::local_text(run_.ground.zone, instant); }

 private:
  static Json name(int index, const char* otherwise) {
    return index < 0 ? Json(otherwise) : Json("stop " + std::to_string(index + 1));
  }

  Json stop(const walk::Stop& stop, int number) const {
    const LatLon place = utm_.inverse(stop.place);
    const auto back = earth::geodesic(place, run_.task.end.value_or(run_.task.start));
    Json species = Json::array();
    for (std::size_t s = 0; s < run_.targets.size(); ++s)
      species.push_back({{"id", run_.targets[s].id},
                         {"standing", rounded(run_.plan.expected_by_target[s][patch_index(stop.patch)], 4)}});
    std::stable_sort(species.begin(), species.end(),
                     [](const Json& a, const Json& b) { return a["standing"] > b["standing"]; });
    if (species.size() > 3) species.erase(species.begin() + 3, species.end());
    Json return_line = Json::array();
    for (const auto& point : walk::densify(stop.return_line)) {
      const LatLon each = utm_.inverse(point);
      return_line.push_back({rounded(each.lon_deg, 7), rounded(each.lat_deg, 7)});
    }
    Json leave_after = Json::array();
    for (double minutes : stop.leave_after_min) leave_after.push_back(rounded(minutes, 0));
    return {{"number", number},
            {"patch", stop.patch},
            {"lat", rounded(place.lat_deg, 7)},
            {"lon", rounded(place.lon_deg, 7)},
            {"arrive", clock(stop.arrive_min)},
            {"search_minutes", rounded(stop.search_min, 1)},
            {"leave_by", clock(stop.leave_min)},
            {"turn_back", clock(stop.turn_back_min)},
            {"return_minutes", rounded(stop.return_min, 2)},
            {"bearing_deg", rounded(back.azimuth_start_deg, 0)},
            {"distance_m", rounded(back.distance_m, 0)},
            {"area_m2", rounded(area_m2(stop.patch), 0)},
            {"patch_corners", corners(run_.plan.patches[patch_index(stop.patch)])},
            {"median_finds", rounded(stop.expected, 4)},
            {"low90", rounded(stop.low90, 4)},
            {"high90", rounded(stop.high90, 4)},
            {"leave_after", leave_after},
            {"species", species},
            {"return_line", return_line},
            {"history", history_at(run_.history, place)}};
  }

  std::size_t patch_index(int id) const {
    for (std::size_t i = 0; i < run_.plan.patches.size(); ++i)
      if (run_.plan.patches[i].id == id) return i;
    throw Error(ErrorCode::internal, "a stop names a patch that does not exist");
  }
  /// Corners of the cells' bounding square, from the north-west clockwise, so that the patch can be drawn and
  /// found on a map.
  Json corners(const walk::Patch& patch) const {
    const raster::Georef& g = run_.data->layers.georef;
    int c0 = g.cols, c1 = -1, r0 = g.rows, r1 = -1;
    for (std::size_t cell : patch.cells) {
      const int col = static_cast<int>(cell % static_cast<std::size_t>(g.cols)),
                row = static_cast<int>(cell / static_cast<std::size_t>(g.cols));
      c0 = std::min(c0, col), c1 = std::max(c1, col), r0 = std::min(r0, row), r1 = std::max(r1, row);
    }
    const double left = g.left_m + c0 * g.cell_m, right = g.left_m + (c1 + 1) * g.cell_m,
                 top = g.top_m - r0 * g.cell_m, bottom = g.top_m - (r1 + 1) * g.cell_m;
    Json list = Json::array();
    for (const earth::PlanePoint point :
         {earth::PlanePoint{left, top}, {right, top}, {right, bottom}, {left, bottom}}) {
      const LatLon place = utm_.inverse(point);
      list.push_back({rounded(place.lon_deg, 7), rounded(place.lat_deg, 7)});
    }
    return list;
  }
  double area_m2(int id) const { return run_.plan.patches[patch_index(id)].area_m2; }

  const PlanRun& run_;
  earth::Utm utm_;
};

std::vector<caution::Caution> plan_cautions(const PlanRun& run) {
  Cautions cautions(caution::Place::plan);
  cautions.add(caution::Place::access);
  cautions.add_for(run.ground, run.far_station, run.weather_gap);
  const bool voucher_only =
      std::any_of(run.plan.walk.stops.begin(), run.plan.walk.stops.end(), [&](const walk::Stop& stop) {
        return !history_at(run.history, earth::Utm::from_epsg(run.ground.epsg).inverse(stop.place)).empty();
      });
  if (voucher_only) cautions.add("site-history");
  if (std::none_of(run.targets.begin(), run.targets.end(),
                   [](const auto& target) { return target.coefficients.learned; }))
    cautions.add("no-local-records");
  if (cover_names_no_genus(run.data->layers)) cautions.add("cover-only-trees");
  return cautions.list();
}

Json to_json(const PlanRun& run) {
  const WalkJson write(run);
  const plan::OutingPlan& plan = run.plan;
  Json days = Json::array();
  for (const auto& day : plan.days)
    days.push_back({{"date", base::to_text(day.date)},
                    {"median_finds", rounded(day.median_finds, 4)},
                    {"low90", rounded(day.low90, 4)},
                    {"high90", rounded(day.high90, 4)},
                    {"basis", basis_code(day.basis)},
                    {"why_not", day.why_not}});
  std::stable_sort(days.begin(), days.end(),
                   [](const Json& a, const Json& b) { return a["median_finds"] > b["median_finds"]; });
  Json species = Json::array(), alternatives = Json::array();
  for (const auto& target : run.targets)
    species.push_back({{"id", target.id}, {"name", target.name}, {"learned", target.coefficients.learned}});
  for (const auto& walk : plan.alternatives)
    alternatives.push_back(
        {{"total", write.total(walk)}, {"legs", write.legs(walk)}, {"stops", write.stops(walk)}});
  const Json stops = write.stops(plan.walk);
  return with_cautions({{"ground", run.ground.name},
                        {"invented", run.ground.invented},
                        {"zone", run.ground.zone},
                        {"date", base::to_text(plan.date)},
                        {"start", {{"lat", run.task.start.lat_deg}, {"lon", run.task.start.lon_deg}}},
                        {"species", species},
                        {"days", days},
                        {"depart", write.at(plan.clock.depart)},
                        {"latest_depart", write.at(plan.latest_depart)},
                        {"sunset", write.at(plan.clock.sunset)},
                        {"civil_dusk", write.at(plan.clock.civil_dusk)},
                        {"deadline", write.at(plan.clock.deadline)},
                        {"end_time", write.clock(plan.walk.total_min)},
                        {"buffer_minutes", run.task.buffer_min},
                        {"factor", run.task.factor},
                        {"sweep_width_m", rounded(plan.sweep_width_m, 3)},
                        {"search_speed_m_per_min", rounded(plan.search_speed_m_per_min, 3)},
                        {"legs", write.legs(plan.walk)},
                        {"stops", stops},
                        {"total", write.total(plan.walk)},
                        {"alternatives", alternatives},
                        {"station", run.station},
                        {"notes", run.notes}},
                       plan_cautions(run));
}

plan::DocumentInput documents_of(const PlanRun& run, const Json& json) {
  plan::DocumentInput input;
  input.plan = &run.plan;
  input.task = &run.task;
  input.targets = &run.targets;
  input.layers = &run.data->layers;
  input.wall = &run.wall;
  input.ground_title = run.ground.title;
  input.invented = run.ground.invented;
  input.notes = run.notes;
  for (const auto& stop : json["stops"])
    for (const auto& words : stop["history"])
      input.notes.push_back(fmt::format("Stop {}: {}", stop["number"].get<int>(), words.get<std::string>()));
  for (const auto& each : json["cautions"])
    input.cautions.emplace_back(each["id"].get<std::string>(), each["text"].get<std::string>());
  for (const auto& about : caution::cautions_for(caution::Place::about))
    if (std::none_of(input.cautions.begin(), input.cautions.end(),
                     [&](const auto& c) { return c.first == about.id; }))
      input.cautions.emplace_back(about.id, about.text);
  return input;
}

/// A forecast is written once, when it is made, for days to come only (design.md section 2, Score).
void write_forecasts(Session& session, const PlanRun& run) {
  const Instant now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
  std::vector<book::ForecastRecord> forecasts;
  for (const auto& target : run.targets) {
    for (std::size_t d = 0; d < run.task.dates.size(); ++d) {
      if (run.task.dates[d] <= session.today()) continue;
      const auto& index = target.index_by_day[d];
      const std::size_t middle = index.index.size() / 2;
      forecasts.push_back({run.ground.name, target.id, now, run.task.dates[d], index.index[middle],
                           index.low90[middle], index.high90[middle], basis_code(run.task.basis[d])});
    }
  }
  if (!forecasts.empty()) session.book().transaction([&] { session.book().add_forecasts(forecasts); });
}

}  // namespace

PlanFiles plan_files(Session& session, const PlanRequest& request) {
  const PlanRun run = run_plan(session, request);
  PlanFiles files;
  files.plan = to_json(run);
  const plan::DocumentInput input = documents_of(run, files.plan);
  files.gpx = plan::plan_gpx(input);
  files.sheet = plan::plan_sheet(input);
  write_forecasts(session, run);
  return files;
}

Json plan(Session& session, const PlanRequest& request) {
  if (request.gpx.empty() && request.sheet.empty()) {
    const PlanRun run = run_plan(session, request);
    Json json = to_json(run);
    write_forecasts(session, run);
    return json;
  }
  PlanFiles files = plan_files(session, request);
  if (!request.gpx.empty()) base::write_file_atomic(request.gpx, files.gpx);
  if (!request.sheet.empty()) base::write_file_atomic(request.sheet, files.sheet);
  return files.plan;
}

}  // namespace stumpwise::app
