#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "ground_files.h"
#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"
#include "stumpwise/base/units.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/earth/zone.h"
#include "stumpwise/raster/file.h"
#include "stumpwise/raster/vector.h"
#include "targets.h"

namespace stumpwise::app {
namespace {

namespace fs = std::filesystem;
using raster::ClassGrid;
using raster::Georef;
using raster::Shape;

constexpr double kSmallestCell_m = 1, kLargestCell_m = 1000;
constexpr std::size_t kMostCells = 40'000'000;

void check_request(Session& session, const GroundAddRequest& request) {
  if (request.name.empty() || request.name.size() > 60 ||
      request.name.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_") !=
          std::string::npos)
    throw Error(ErrorCode::bad_usage, "ground name \"" + base::printable(request.name) +
                                          "\": letters, digits, - and _ only, at most 60");
  if (request.dem.empty())
    throw Error(ErrorCode::bad_usage, "a ground needs an elevation model", "Give it with --dem FILE.");
  if (request.cell_m < kSmallestCell_m || request.cell_m > kLargestCell_m)
    throw Error(ErrorCode::bad_usage,
                fmt::format("--cell {}: {} to {} metres", request.cell_m, kSmallestCell_m, kLargestCell_m));
  if (!request.cover.empty() && request.legend.empty())
    throw Error(ErrorCode::bad_usage, "--cover needs --legend",
                "Shipped legends: nlcd, corine, simple8, or a path to your own TOML file.");
  if (request.around && (request.radius_km <= 0 || request.radius_km > 100))
    throw Error(ErrorCode::bad_usage,
                fmt::format("--around: radius {} km, above 0 and at most 100", request.radius_km));
  session.library().parse_regions(request.region);
  earth::offset_at(request.zone, Instant{});
}

fs::path legend_path(const std::string& legend) {
  const fs::path shipped = base::data_folder() / "legends" / (legend + ".toml");
  if (fs::exists(shipped)) return shipped;
  if (fs::exists(legend)) return legend;
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(base::data_folder() / "legends"))
    names.push_back(entry.path().stem().string());
  std::sort(names.begin(), names.end());
  throw Error(ErrorCode::not_found,
              "legend \"" + base::printable(legend) + "\" is neither shipped nor a file",
              "Shipped: " + base::join(names, ", "));
}

/// What lies around one ground while it is put together.
struct Intake {
  Georef georef;
  earth::Utm utm{1, true};
  std::vector<base::Issue> issues;

  std::vector<Shape> shapes(const std::vector<std::string>& files) {
    std::vector<Shape> all;
    for (const std::string& file : files) {
      auto parsed = raster::read_shapes(file, georef.epsg, &georef);
      issues.insert(issues.end(), parsed.issues.begin(), parsed.issues.end());
      std::move(parsed.value.begin(), parsed.value.end(), std::back_inserter(all));
    }
    return all;
  }

  void fault(const std::string& file, const std::string& field, const std::string& text) {
    issues.push_back({base::Severity::fault, file, 0, field, text});
  }
};

std::string attribute(const Shape& shape, std::initializer_list<const char*> names) {
  for (const char* name : names) {
    const auto found = shape.attributes.find(name);
    if (found != shape.attributes.end() && !found->second.empty()) return found->second;
  }
  return {};
}

bool says_yes(const std::string& text) {
  return text == "yes" || text == "1" || text == "true";
}

std::optional<Date> attribute_date(Intake& intake, const Shape& shape, const char* name,
                                   const std::string& layer) {
  std::string text = attribute(shape, {name});
  if (text.empty()) return std::nullopt;
  std::replace(text.begin(), text.end(), '/', '-');
  const auto date = base::parse_date(text.substr(0, 10));
  if (!date) intake.fault(layer, name, "\"" + base::printable(text) + "\" is no day (YYYY-MM-DD)");
  return date;
}

std::vector<std::vector<LatLon>> rings_on_earth(const Intake& intake, const Shape& shape) {
  std::vector<std::vector<LatLon>> rings;
  for (const auto& ring : shape.rings) {
    rings.emplace_back();
    for (const auto& point : ring) rings.back().push_back(intake.utm.inverse(point));
  }
  return rings;
}

std::vector<records::HostRecord> read_hosts(Intake& intake, const GroundAddRequest& request) {
  std::vector<records::HostRecord> hosts;
  for (const std::string& file : request.hosts) {
    for (const Shape& shape : intake.shapes({file})) {
      if (shape.kind != raster::ShapeKind::point) continue;
      records::HostRecord host;
      host.ground = request.name;
      host.genus = attribute(shape, {"genus", "host"});
      host.state = attribute(shape, {"state"});
      host.told_by = attribute(shape, {"told_by"});
      if (host.state.empty()) host.state = "living";
      host.place = intake.utm.inverse(shape.rings.front().front());
      if (host.genus.empty())
        intake.fault(file, "genus", "a tree without its genus (attribute genus, for example Ulmus)");
      const std::string radius = attribute(shape, {"radius_m"});
      if (!radius.empty()) {
        const auto value = base::parse_number(radius);
        if (!value || *value <= 0 || *value > 500)
          intake.fault(file, "radius_m", "\"" + radius + "\": above 0 and at most 500");
        else
          host.radius_m = *value;
      }
      if (const auto year = base::parse_integer(attribute(shape, {"year_died"}))) host.year_died = *year;
      hosts.push_back(std::move(host));
    }
  }
  return hosts;
}

std::vector<records::AccessArea> read_access(Intake& intake, const GroundAddRequest& request) {
  static const std::set<std::string> kKinds{"open", "permission", "closed", "reserve"};
  std::vector<records::AccessArea> areas;
  for (const std::string& file : request.access) {
    for (const Shape& shape : intake.shapes({file})) {
      if (shape.kind != raster::ShapeKind::polygon) continue;
      records::AccessArea area;
      area.ground = request.name;
      area.name = attribute(shape, {"name"});
      area.kind = attribute(shape, {"kind", "access"});
      area.note = attribute(shape, {"note"});
      if (!kKinds.count(area.kind))
        intake.fault(file, "kind",
                     "\"" + base::printable(area.kind) + "\": open, permission, closed or reserve");
      area.expires = attribute_date(intake, shape, "expires", file);
      area.checked = attribute_date(intake, shape, "checked", file);
      area.rings = rings_on_earth(intake, shape);
      areas.push_back(std::move(area));
    }
  }
  return areas;
}

std::vector<records::HistoryArea> read_history(Intake& intake, const GroundAddRequest& request) {
  std::vector<records::HistoryArea> areas;
  for (const std::string& file : request.history) {
    for (const Shape& shape : intake.shapes({file})) {
      if (shape.kind != raster::ShapeKind::polygon) continue;
      records::HistoryArea area;
      area.ground = request.name;
      area.name = attribute(shape, {"name"});
      area.kind = attribute(shape, {"kind"});
      area.note = attribute(shape, {"note"});
      area.year_from = base::parse_integer(attribute(shape, {"year_from"}));
      area.year_to = base::parse_integer(attribute(shape, {"year_to"}));
      if (area.kind.empty())
        intake.fault(file, "kind",
                     "land-use history without its kind (burn, sprayed_orchard, mine, cut, ...)");
      area.rings = rings_on_earth(intake, shape);
      areas.push_back(std::move(area));
    }
  }
  return areas;
}

/// Burns shapes into class codes: each list of shapes one code, later ones over earlier ones.
ClassGrid burn(const Georef& georef, const std::vector<std::pair<std::uint8_t, std::vector<Shape>>>& layers) {
  ClassGrid classes{georef, std::vector<std::uint8_t>(georef.size(), 0)};
  for (const auto& [code, shapes] : layers) {
    if (shapes.empty()) continue;
    const raster::Grid marked = raster::rasterise(shapes, georef);
    for (std::size_t i = 0; i < classes.codes.size(); ++i)
      if (marked.values[i] > 0) classes.codes[i] = code;
  }
  return classes;
}

/// Streams: lines; a river (attribute kind = river) is a wall. Trails: where the attribute bridge says yes
/// the wall opens.
void write_lines(const GroundFiles& files, Intake& intake, const GroundAddRequest& request) {
  std::vector<Shape> streams, rivers, trails, bridges;
  for (Shape& shape : intake.shapes(request.streams))
    (attribute(shape, {"kind"}) == "river" ? rivers : streams).push_back(std::move(shape));
  for (Shape& shape : intake.shapes(request.trails))
    (says_yes(attribute(shape, {"bridge"})) ? bridges : trails).push_back(std::move(shape));
  const raster::Provenance imported{"import", {}};
  if (!request.streams.empty())
    raster::write_cog(files.water(), burn(intake.georef, {{1, streams}, {2, rivers}}), imported);
  if (!request.trails.empty())
    raster::write_cog(files.trails(), burn(intake.georef, {{1, trails}, {2, bridges}}), imported);
}

double vertical_scale(const GroundAddRequest& request, const std::vector<raster::RasterInfo>& infos) {
  if (request.dem_scale > 0) return request.dem_scale;
  const double unit = infos.front().unit_to_m;
  for (const auto& info : infos)
    if (info.unit_to_m != unit)
      throw Error(ErrorCode::bad_format, "the elevation tiles declare different units",
                  "Give the unit with --dem-unit m or ft.");
  return unit;
}

raster::Grid read_dem(Session& session, const GroundAddRequest& request,
                      const std::vector<raster::RasterInfo>& infos, const Georef& georef) {
  raster::WarpRequest warp;
  warp.files = request.dem;
  warp.target = georef;
  double finest = infos.front().cell_m;
  for (const auto& info : infos) finest = std::min(finest, info.cell_m);
  warp.average = finest < georef.cell_m / 2;
  warp.scale = vertical_scale(request, infos);
  raster::Grid dem = raster::warp_values(warp, raster::Quantity::elevation_m, session.progress);
  constexpr float kLowest_m = -500, kHighest_m = 9000;
  for (float value : dem.values)
    if (!std::isnan(value) && (value < kLowest_m || value > kHighest_m))
      throw Error(ErrorCode::bad_format,
                  fmt::format("{}: an elevation of {:.0f} m, outside {:.0f} to {:.0f} m", request.dem.front(),
                              value, kLowest_m, kHighest_m),
                  "If the file is in feet, say --dem-unit ft; if a code for \"no data\" is not declared in "
                  "it, declare it.");
  return dem;
}

std::string share_words(std::size_t part, std::size_t whole) {
  const double percent = 100.0 * static_cast<double>(part) / static_cast<double>(whole);
  return percent < 0.05 ? "less than 0.1 %" : fmt::format("{:.1f} %", percent);
}

void write_cover(Session& session, const GroundFiles& files, const GroundAddRequest& request,
                 const Georef& georef, std::vector<std::string>& notes) {
  const fs::path legend_file = legend_path(request.legend);
  const ground::Legend legend = base::value_or_throw(ground::read_legend(legend_file.string()), "legend");
  std::map<int, std::uint8_t> codes;
  for (const auto& each : legend.classes) codes[each.value] = each.code;
  const ClassGrid cover = raster::warp_classes(request.cover, georef, codes, session.progress);
  const auto none =
      static_cast<std::size_t>(std::count(cover.codes.begin(), cover.codes.end(), ClassGrid::kNone));
  if (none == cover.codes.size())
    throw Error(ErrorCode::no_overlap,
                "no cell of the land cover has a class that the legend \"" + legend.name + "\" knows",
                "Check that the cover lies over the elevation model and that the legend is the right one.");
  if (none > 0)
    notes.push_back(
        share_words(none, cover.codes.size()) +
        " of the ground has no land-cover class of the legend: prospects there are marked as extrapolated");
  raster::write_cog(files.cover(), cover, raster::Provenance{"import", {}});
  base::write_file_atomic(files.legend(), base::read_file(legend_file));
}

Json describe(Session& session, const records::GroundRecord& ground) {
  const earth::Utm utm = earth::Utm::from_epsg(ground.epsg);
  const double right = ground.left_m + ground.cols * ground.cell_m,
               bottom = ground.top_m - ground.rows * ground.cell_m;
  Json corners = Json::array();
  double south = 90, north = -90, west = 180, east = -180;
  for (const earth::PlanePoint corner : {earth::PlanePoint{ground.left_m, ground.top_m},
                                         {right, ground.top_m},
                                         {right, bottom},
                                         {ground.left_m, bottom}}) {
    const LatLon place = utm.inverse(corner);
    corners.push_back({rounded(place.lon_deg, 7), rounded(place.lat_deg, 7)});
    south = std::min(south, place.lat_deg);
    north = std::max(north, place.lat_deg);
    west = std::min(west, place.lon_deg);
    east = std::max(east, place.lon_deg);
  }
  return {{"name", ground.name},
          {"title", ground.title},
          {"region", ground.region},
          {"zone", ground.zone},
          {"cell_m", ground.cell_m},
          {"cols", ground.cols},
          {"rows", ground.rows},
          {"epsg", ground.epsg},
          {"south", rounded(south, 6)},
          {"north", rounded(north, 6)},
          {"west", rounded(west, 6)},
          {"east", rounded(east, 6)},
          {"corners", corners},
          {"legend", ground.legend},
          {"invented", ground.invented},
          {"hosts", session.book().hosts(ground.name).size()},
          {"access_areas", session.book().access(ground.name).size()},
          {"history_areas", session.book().history(ground.name).size()}};
}

}  // namespace

Json ground_add(Session& session, const GroundAddRequest& request) {
  check_request(session, request);
  std::vector<raster::RasterInfo> infos;
  for (const std::string& file : request.dem) infos.push_back(raster::raster_info(file));
  Intake intake;
  intake.georef = raster::ground_georef(infos, request.cell_m, request.around, request.radius_km);
  if (intake.georef.size() > kMostCells)
    throw Error(ErrorCode::bad_value,
                fmt::format("{} x {} cells of {} m: at most {} million cells", intake.georef.cols,
                            intake.georef.rows, request.cell_m, kMostCells / 1'000'000),
                "Take a larger --cell or cut out a part with --around LAT,LON,KM.");
  intake.utm = earth::Utm::from_epsg(intake.georef.epsg);

  // Everything is written beside the ground's folder and moved into place at the end: a failure leaves
  // nothing behind.
  const fs::path target = session.book().files_folder() / request.name;
  const fs::path staging = session.book().files_folder() / ("." + request.name + "." + base::random_hex(4));
  const fs::path old = session.book().files_folder() / ("." + request.name + ".old." + base::random_hex(4));
  const GroundFiles files{staging};
  std::vector<std::string> notes;
  records::GroundRecord ground{request.name,
                               request.name,
                               request.region,
                               request.zone,
                               request.cell_m,
                               intake.georef.epsg,
                               intake.georef.left_m,
                               intake.georef.top_m,
                               intake.georef.cols,
                               intake.georef.rows,
                               request.cover.empty() ? "" : fs::path(request.legend).stem().string(),
                               request.invented};
  try {
    fs::create_directories(staging / "derived");
    const raster::Grid dem = read_dem(session, request, infos, intake.georef);
    const auto empty = static_cast<std::size_t>(
        std::count_if(dem.values.begin(), dem.values.end(), [](float v) { return std::isnan(v); }));
    if (empty == dem.values.size())
      throw Error(ErrorCode::no_overlap, "the elevation model has no value on this ground",
                  "Check --around and the file's own extent.");
    if (empty > 0)
      notes.push_back(share_words(empty, dem.values.size()) +
                      " of the ground has no elevation: no walk is planned there");
    raster::write_cog(files.dem(), {{"elevation", &dem}}, raster::Provenance{"import", {}});
    if (!request.cover.empty()) write_cover(session, files, request, intake.georef, notes);
    const auto hosts = read_hosts(intake, request);
    const auto access = read_access(intake, request);
    const auto history = read_history(intake, request);
    write_lines(files, intake, request);
    base::throw_on_fault("layers of the ground", intake.issues);
    if (const auto note = cover_note(read_ground(files, ground, hosts, session.progress).layers))
      notes.push_back(*note);
    base::check_interrupt();
    session.book().transaction([&] {
      session.book().put_ground(ground);
      session.book().replace_hosts(request.name, hosts);
      session.book().replace_access(request.name, access);
      session.book().replace_history(request.name, history);
      for (const fs::path& path : {files.dem(), files.cover(), files.legend(), files.water(), files.trails()})
        if (fs::exists(path))
          session.book().put_file({request.name + "/" + path.filename().string(), base::sha256_file(path),
                                   "import", request.name});
      if (fs::exists(target)) fs::rename(target, old);
      fs::rename(staging, target);
    });
  } catch (...) {
    std::error_code ignored;
    fs::remove_all(staging, ignored);
    if (!fs::exists(target) && fs::exists(old)) fs::rename(old, target, ignored);
    throw;
  }
  std::error_code ignored;
  fs::remove_all(old, ignored);
  session.forget_grounds();
  Json result = describe(session, ground);
  result["notes"] = notes;
  result["issues"] = to_json(intake.issues);
  return with_cautions(std::move(result), caution::cautions_for(caution::Place::access));
}

Json ground_list(Session& session) {
  Json grounds = Json::array();
  for (const auto& ground : session.book().grounds()) grounds.push_back(describe(session, ground));
  return {{"grounds", grounds}};
}

Json ground_show(Session& session, const std::string& name) {
  const auto ground = session.ground(name);
  Json result = describe(session, ground);
  Json access = Json::array(), history = Json::array();
  for (const auto& area : session.book().access(ground.name))
    access.push_back({{"name", area.name},
                      {"kind", area.kind},
                      {"expires", area.expires ? Json(base::to_text(*area.expires)) : Json()},
                      {"checked", area.checked ? Json(base::to_text(*area.checked)) : Json()},
                      {"note", area.note}});
  for (const auto& area : session.book().history(ground.name))
    history.push_back({{"name", area.name},
                       {"kind", area.kind},
                       {"year_from", area.year_from ? Json(*area.year_from) : Json()},
                       {"year_to", area.year_to ? Json(*area.year_to) : Json()},
                       {"note", area.note}});
  result["access"] = access;
  result["history"] = history;
  return with_cautions(std::move(result), caution::cautions_for(caution::Place::access));
}

}  // namespace stumpwise::app
