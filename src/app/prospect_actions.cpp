#include <fmt/format.h>

#include <algorithm>

#include "ground_files.h"
#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/picture/ramp.h"
#include "stumpwise/picture/relief.h"
#include "stumpwise/raster/file.h"
#include "targets.h"

namespace stumpwise::app {
namespace {

/// One map of one species and day, with everything that must be said of it.
struct ProspectRun {
  records::GroundRecord ground;
  const species::Profile* profile = nullptr;
  learn::Model model;
  Date date;
  season::Basis basis = season::Basis::observed;
  ground::Prospect map;
  Json station;
  bool far_station = false, weather_gap = false, only_trees = false;
  std::vector<std::string> notes;
};

ProspectRun run_prospect(Session& session, const ProspectRequest& request) {
  ProspectRun run;
  run.ground = session.ground(request.ground);
  if (request.species.empty())
    throw Error(ErrorCode::bad_usage, "no species was named", "Say --species NAME.");
  const auto profiles = wanted_species(session, {request.species}, run.ground.region, run.notes);
  run.profile = profiles.front();
  run.date = request.date.value_or(session.today());
  const GroundData& data = session.ground_data(run.ground);
  const WeatherContext context =
      weather_context(session, centre_of(run.ground), typical_elevation_m(data.layers.elevation_m));
  run.notes.insert(run.notes.end(), context.notes.begin(), context.notes.end());
  if (const auto note = cover_note(data.layers)) run.notes.push_back(*note);
  run.only_trees = cover_names_no_genus(data.layers);
  run.station = station_json(context);
  run.far_station = context.fit.far;
  run.weather_gap = context.gap_left;
  const auto models = models_of(session, run.ground.name, profiles, run.notes);
  run.model = models.front();
  const IndexTable table = index_table(session, context, profiles, models, centre_of(run.ground),
                                       index_heights(data.layers.elevation_m), run.date, 1);
  run.basis = table.basis.front();
  const ground::CovariateField field(data.layers, *run.profile);
  run.map = ground::prospect(field, run.model.coefficients, table.by_species.front().front(),
                             base::default_threads());
  return run;
}

Json summary_json(const raster::Grid& median) {
  std::vector<float> values;
  for (float value : median.values)
    if (!std::isnan(value)) values.push_back(value);
  if (values.empty()) return {{"p50", nullptr}, {"p90", nullptr}, {"p98", nullptr}, {"max", nullptr}};
  auto quantile = [&](double p) {
    const auto at = static_cast<std::ptrdiff_t>(p * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + at, values.end());
    return rounded(values[static_cast<std::size_t>(at)], 5);
  };
  return {{"p50", quantile(0.5)}, {"p90", quantile(0.9)}, {"p98", quantile(0.98)}, {"max", quantile(1.0)}};
}

void write_map(Session& session, const ProspectRun& run, const std::string& path) {
  raster::Provenance provenance{std::string("prospect ") + ground::kModelVersion, {}};
  provenance.inputs["dem"] =
      base::sha256_file(GroundFiles{session.book().files_folder() / run.ground.name}.dem());
  provenance.inputs["profiles"] = session.library().version();
  raster::write_cog(path,
                    {{"median", &run.map.median},
                     {"5 %", &run.map.low05},
                     {"95 %", &run.map.high95},
                     {"extrapolated", &run.map.extrapolated}},
                    provenance,
                    {{"SPECIES", run.profile->id + " " + run.profile->name()},
                     {"DATE", base::to_text(run.date)},
                     {"UNIT", "expected finds per hectare"},
                     {"INVENTED", run.ground.invented ? "yes: demo data" : "no"}});
}

}  // namespace

Json prospect(Session& session, const ProspectRequest& request) {
  const ProspectRun run = run_prospect(session, request);
  if (!request.out.empty()) write_map(session, run, request.out);
  std::size_t cells = 0, far = 0;
  for (std::size_t i = 0; i < run.map.median.values.size(); ++i) {
    if (std::isnan(run.map.median.values[i])) continue;
    ++cells;
    far += run.map.extrapolated.values[i] > 0;
  }
  Json legend = Json::array();
  const picture::Ramp ramp = picture::Ramp::for_grid(run.map.median);
  for (const auto& step : ramp.legend())
    legend.push_back({{"value", rounded(step.from_per_ha, 6)},
                      {"colour", picture::hex(step.colour)},
                      {"label", step.label}});
  Cautions cautions(caution::Place::prospect);
  if (!run.model.coefficients.learned) cautions.add("no-local-records");
  if (far > 0) cautions.add("extrapolated");
  if (run.only_trees) cautions.add("cover-only-trees");
  cautions.add_for(run.ground, run.far_station, run.weather_gap);
  Json result = {
      {"ground", run.ground.name},
      {"invented", run.ground.invented},
      {"species",
       {{"id", run.profile->id}, {"name", run.profile->name()}, {"learned", run.model.coefficients.learned}}},
      {"date", base::to_text(run.date)},
      {"basis", basis_code(run.basis)},
      {"cells", cells},
      {"median_finds_per_ha", summary_json(run.map.median)},
      {"extrapolated_share", rounded(cells ? static_cast<double>(far) / static_cast<double>(cells) : 0, 4)},
      {"legend", legend},
      {"station", run.station},
      {"notes", run.notes}};
  if (!request.out.empty()) result["out"] = request.out;
  return with_cautions(std::move(result), cautions.list());
}

std::string hillshade_png(Session& session, const std::string& ground) {
  return picture::encode_png(
      picture::relief_image(session.elevation(session.ground(ground)), {}, base::default_threads()));
}

std::string prospect_png(Session& session, const ProspectRequest& request) {
  const ProspectRun run = run_prospect(session, request);
  return picture::encode_png(picture::prospect_image(run.map.median, &run.map.extrapolated,
                                                     picture::Ramp::for_grid(run.map.median)));
}

}  // namespace stumpwise::app
