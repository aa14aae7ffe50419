#include <fmt/format.h>

#include "json.h"
#include "stumpwise/app/spores.h"
#include "stumpwise/base/text.h"
#include "stumpwise/key/read_spores.h"
#include "stumpwise/key/spore_fit.h"

namespace stumpwise::app {
namespace {

constexpr std::size_t kMostNames = 12;

/// Digits of a size in micrometres and of Q.
constexpr int kSize = 3, kQuotient = 4;

/// A value of an option that is off is bad usage, and says which option.
template <class Run>
auto in_option(const std::string& option, Run run) {
  try {
    return run();
  } catch (const Error& error) {
    throw Error(ErrorCode::bad_usage, option + ": " + error.what(), error.mend());
  }
}

std::optional<double> calibration_of(const SporesRequest& request) {
  if (request.um_per_div && request.calibration)
    throw Error(ErrorCode::bad_usage, "--um-per-div and --calibrate say the same thing", "Give one of them.");
  if (request.calibration)
    return in_option("--calibrate", [&] {
      return key::um_per_division(request.calibration->first, request.calibration->second);
    });
  if (request.um_per_div)
    return in_option("--um-per-div", [&] { return key::checked_um_per_division(*request.um_per_div); });
  return std::nullopt;
}

Json spread_json(const key::Spread& spread, int digits, const char* unit) {
  return {{"min", rounded(spread.min, digits)},
          {"p5", rounded(spread.p5, digits)},
          {"mean", rounded(spread.mean, digits)},
          {"sd", rounded(spread.sd, digits)},
          {"p95", rounded(spread.p95, digits)},
          {"max", rounded(spread.max, digits)},
          {"unit", unit}};
}

Json shape_json(const key::Spread& q) {
  const key::ShapeClass mean = key::spore_shape(q.mean);
  return {{"of_mean", mean.name},
          {"source", mean.source},
          {"of_p5", key::spore_shape(q.p5).name},
          {"of_p95", key::spore_shape(q.p95).name}};
}

Json bodies_json(const key::SporeStatistics& statistics) {
  Json list = Json::array();
  for (const key::BodyMeans& body : statistics.bodies)
    list.push_back({{"specimen", body.specimen},
                    {"collection", body.collection},
                    {"spores", body.spores},
                    {"mean_length_um", rounded(body.mean_length_um, kSize)},
                    {"mean_width_um", rounded(body.mean_width_um, kSize)},
                    {"mean_q", rounded(body.mean_q, kQuotient)}});
  return list;
}

Json measure_json(const key::MeasureFit& measure) {
  Json result = {{"character", measure.character},
                 {"share", rounded(measure.share, 3)},
                 {"min", measure.range.min},
                 {"usual_min", measure.range.usual_min},
                 {"usual_max", measure.range.usual_max},
                 {"max", measure.range.max},
                 {"unit", measure.range.unit},
                 {"source", measure.source},
                 {"disputed", measure.disputed}};
  if (!measure.note.empty()) result["note"] = measure.note;
  return result;
}

/// What the sizes say of a profile: nothing where it records none.
const char* verdict(const key::SporeFit& fit) {
  if (fit.measures.empty()) return "not recorded";
  if (fit.share >= key::kFitShare) return "fits";
  return fit.touches ? "touches" : "outside";
}

Json fit_json(const species::Library& library, const key::SporeFit& fit) {
  const species::Profile& profile = *library.find(fit.id);
  Json measures = Json::array();
  for (const key::MeasureFit& measure : fit.measures) measures.push_back(measure_json(measure));
  return {{"id", fit.id},
          {"name", profile.name()},
          {"vernacular", profile.vernacular()},
          {"danger", fit.dangerous},
          {"syndrome", profile.danger ? Json(profile.danger->syndrome) : Json()},
          {"verdict", verdict(fit)},
          {"share", fit.measures.empty() ? Json() : rounded(fit.share, 3)},
          {"measures", measures}};
}

Json printed_measure(const char* character, const key::Spread& sample, const key::PrintedRange& printed,
                     const char* unit) {
  key::MeasureFit fit =
      key::measure_fit(sample, {printed.min.value_or(printed.usual_min), printed.usual_min, printed.usual_max,
                                printed.max.value_or(printed.usual_max), unit});
  fit.character = character;
  fit.source = "given";
  return measure_json(fit);
}

/// The sample against sizes that the user took from a description.
Json against_json(const key::SporeStatistics& sample, const std::string& text,
                  const key::PrintedSpores& printed, Json& notes) {
  Json measures = Json::array();
  measures.push_back(printed_measure("C32.length", sample.length_um, printed.length_um, "um"));
  measures.push_back(printed_measure("C32.width", sample.width_um, printed.width_um, "um"));
  if (printed.q) measures.push_back(printed_measure("C32.q", sample.q, *printed.q, "1"));
  Json share = 1.0;
  for (const Json& each : measures) share = std::min(share.get<double>(), each["share"].get<double>());
  if (!printed.left_out.empty())
    notes.push_back("Of --against was not understood: " +
                    base::printable(base::join(printed.left_out, "; ")));
  const auto known = [](const auto& value) { return value ? Json(*value) : Json(); };
  return {{"text", base::printable(text)},
          {"share", share},
          {"measures", measures},
          {"spores", known(printed.spores)},
          {"mean_length_um", known(printed.mean_length_um)},
          {"mean_width_um", known(printed.mean_width_um)},
          {"mean_q", known(printed.mean_q)}};
}

Json notes_of(const key::SporeStatistics& statistics, const std::vector<base::Issue>& issues) {
  Json notes = Json::array();
  if (statistics.few())
    notes.push_back(
        fmt::format("{} spores: {} are wanted. Up to 20, the 5 % lies between the two smallest "
                    "spores measured, so that one odd spore moves it.",
                    statistics.spores, key::kSporesWanted));
  if (!statistics.specimens_said)
    notes.push_back(statistics.collections_said
                        ? "No column specimen: each collection counts as one body."
                        : "No column specimen: all spores count as of one body and one collection.");
  else if (!statistics.collections_said)
    notes.push_back("No column collection: all bodies count as of one.");
  for (const base::Issue& issue : issues) notes.push_back(base::to_text(issue));
  return notes;
}

/// Dangers stand first and all of them that the sizes do not exclude; then names, the best.
void add_fits(Json& result, const species::Library& library, const key::SporeStatistics& statistics) {
  const key::SporeFits fits = key::spore_fits(statistics, library.profiles());
  Json dangers = Json::array(), names = Json::array();
  for (const key::SporeFit& fit : fits.dangers) dangers.push_back(fit_json(library, fit));
  for (std::size_t i = 0; i < fits.names.size() && i < kMostNames; ++i)
    names.push_back(fit_json(library, fits.names[i]));
  result["names_left_out"] = fits.names.size() - names.size();
  result["dangers"] = std::move(dangers);
  result["dangers_without_sizes"] = fits.dangers_unknown;
  result["names"] = std::move(names);
}

}  // namespace

Json spores(Session& session, const SporesRequest& request) {
  const std::optional<double> um_per_div = calibration_of(request);
  std::optional<key::PrintedSpores> printed;
  if (!request.against.empty())
    printed = in_option("--against", [&] { return key::parse_notation(request.against); });
  const auto parsed = key::read_spores(request.file, um_per_div);
  base::throw_on_fault("spores", parsed.issues);
  const key::SporeStatistics statistics = key::spore_statistics(parsed.value);

  Json notes = notes_of(statistics, parsed.issues);
  Json result = {{"spores", statistics.spores},
                 {"spores_wanted", key::kSporesWanted},
                 {"few", statistics.few()},
                 {"collections", statistics.collections},
                 {"bodies", bodies_json(statistics)},
                 {"um_per_div", um_per_div ? rounded(*um_per_div, 6) : Json()},
                 {"length", spread_json(statistics.length_um, kSize, "um")},
                 {"width", spread_json(statistics.width_um, kSize, "um")},
                 {"q", spread_json(statistics.q, kQuotient, "1")},
                 {"shape", shape_json(statistics.q)},
                 {"notation", key::bracket_notation(statistics)},
                 {"species", nullptr},
                 {"against", nullptr}};
  Cautions cautions(caution::Place::candidates);
  cautions.add("fit-is-no-identification");
  const species::Library& library = session.library();
  add_fits(result, library, statistics);
  if (!request.species.empty()) {
    std::vector<std::string> said;
    const species::Profile& profile = library.require(request.species, &said);
    result["species"] = fit_json(library, key::spore_fit(statistics, profile));
    for (const std::string& each : said) notes.push_back(each);
    for (const std::string& id : profile.cautions) cautions.add(id);
  }
  if (printed) result["against"] = against_json(statistics, request.against, *printed, notes);
  result["notes"] = std::move(notes);
  return with_cautions(std::move(result), cautions.list());
}

}  // namespace stumpwise::app
