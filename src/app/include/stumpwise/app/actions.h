#pragma once
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/app/session.h"

/// One function per user action. Each takes a request and gives the JSON that both faces answer with (the
/// command's --json is the page's JSON); the words for a person are made from that JSON by `cli`. Times are
/// ISO 8601 with the ground's offset.
namespace stumpwise::app {

struct GroundAddRequest {
  std::string name;
  std::vector<std::string> dem;
  double dem_scale = 0;  ///< 0: the unit that the file declares, else metres per unit
  std::optional<LatLon> around;
  double radius_km = 0;
  std::vector<std::string> cover;
  std::string legend;  ///< name in legends/ or a path
  std::vector<std::string> hosts, streams, trails, access, history;
  std::string region, zone;
  double cell_m = 10;
  bool invented = false;
};
nlohmann::json ground_add(Session& session, const GroundAddRequest& request);
nlohmann::json ground_list(Session& session);
nlohmann::json ground_show(Session& session, const std::string& name);

struct WeatherAddRequest {
  std::string file, station_name, columns;
  std::optional<double> lat_deg, lon_deg, elevation_m;
};
nlohmann::json weather_add(Session& session, const WeatherAddRequest& request);
nlohmann::json weather_note(Session& session, const records::WeatherNote& note);
struct ForecastRequest {
  std::string file, days;
};
nlohmann::json weather_forecast(Session& session, const ForecastRequest& request);

struct SpeciesFilter {
  std::optional<int> month;
  std::string region, host, group;
};
nlohmann::json species_list(Session& session, const SpeciesFilter& filter);
nlohmann::json species_show(Session& session, const std::string& name);
nlohmann::json species_check(Session& session);

struct OutlookRequest {
  std::string ground;
  std::optional<LatLon> at;
  std::vector<std::string> species;
  std::optional<Date> from;
  int days = 10;
};
nlohmann::json outlook(Session& session, const OutlookRequest& request);

struct ProspectRequest {
  std::string ground, species;
  std::optional<Date> date;
  std::string out;
};
nlohmann::json prospect(Session& session, const ProspectRequest& request);
/// PNG pictures on the ground's own grid, north up: the relief, and the prospect of one species on one day.
std::string hillshade_png(Session& session, const std::string& ground);
std::string prospect_png(Session& session, const ProspectRequest& request);

struct PlanRequest {
  std::string ground;
  LatLon start;
  std::optional<LatLon> end;
  double hours = 0;
  std::optional<Date> date;
  std::optional<int> depart_clock_min;
  int days = 1;  ///< over 1: rank that many days from `date` and plan the best
  double buffer_min = 45, factor = 1.25;
  std::vector<std::string> species;  ///< empty: all that may be looked for
  std::vector<int> must, never;
  int alternatives = 0;
  std::string gpx, sheet;  ///< files to write
};
nlohmann::json plan(Session& session, const PlanRequest& request);
/// A plan with its documents, all from one computation.
struct PlanFiles {
  nlohmann::json plan;
  std::string gpx, sheet;
};
PlanFiles plan_files(Session& session, const PlanRequest& request);
/// The page's request; Error(bad_usage) naming the field that is off.
PlanRequest plan_request_from_json(const nlohmann::json& json);

struct TurnbackRequest {
  std::string ground;
  std::optional<LatLon> at;
  std::string zone;
  Date date;
  double km = 0, climb_m = 0;
  bool off_trail = false;
  double buffer_min = 45, factor = 1.25;
  std::optional<int> depart_clock_min;
};
nlohmann::json turnback(Session& session, const TurnbackRequest& request);

struct OutingAddRequest {
  std::string ground, gpx;
  std::vector<std::string> targets;
  int people = 1;
  std::string observer, note;
  std::optional<Date> date;
  std::optional<double> minutes, search_minutes;
  std::optional<LatLon> at;
};
nlohmann::json outing_add(Session& session, const OutingAddRequest& request);
nlohmann::json outing_list(Session& session, const std::string& ground);
nlohmann::json outing_show(Session& session, std::int64_t id);
nlohmann::json find_add(Session& session, const records::Find& find, const std::string& species_name);
nlohmann::json find_list(Session& session, const std::string& ground);

struct LearnRequest {
  std::string ground;
  std::vector<std::string> species;
};
nlohmann::json learn(Session& session, const LearnRequest& request);

nlohmann::json status(Session& session);
nlohmann::json today(Session& session);
nlohmann::json check(Session& session);

struct DemoRequest {
  std::string folder;
  std::uint64_t seed = 1;
};
nlohmann::json demo(const DemoRequest& request, const base::Progress& progress);

}  // namespace stumpwise::app
