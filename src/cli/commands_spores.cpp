#include "command.h"
#include "say.h"
#include "stumpwise/app/spores.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

/// "50=49": so many divisions cover so many micrometres.
std::pair<double, double> calibration_of(const std::string& option, const std::string& word) {
  const auto parts = base::split(word, '=');
  const auto divisions = parts.size() == 2 ? base::parse_number(parts[0]) : std::nullopt,
             length_um = parts.size() == 2 ? base::parse_number(parts[1]) : std::nullopt;
  if (!divisions || !length_um)
    throw Error(ErrorCode::bad_usage, option + " \"" + base::printable(word) + "\": needs DIV=UM",
                "For example " + option + " 50=49: 50 divisions cover 49 um of the stage micrometer.");
  return {*divisions, *length_um};
}

}  // namespace

void add_spore_commands(Context& context) {
  CLI::App& leaf = command(context.app, "spores",
                           "Statistics of measured spores, and which profiles they fit, dangers first. "
                           "Needs no book.",
                           "stumpwise spores print.csv --species E01\n"
                           "stumpwise spores print.csv --calibrate 50=49\n"
                           "stumpwise spores print.csv --against \"10-14 (-16) x 4-5 (-6) um; N = 30\"");
  auto request = std::make_shared<app::SporesRequest>();
  leaf.add_option("FILE", request->file,
                  "columns length,width in um, or one of texts like 9.0 x 5.5; may have specimen, collection")
      ->required();
  number_option(leaf, "--um-per-div", request->um_per_div, "X",
                "the file holds divisions of the eyepiece scale, each of X um");
  option(leaf, "--calibrate", request->calibration, calibration_of, "DIV=UM",
         "the same, from a stage micrometer: DIV divisions cover UM um");
  text_option(leaf, "--species", request->species, "S", "any name or id: held against the spores in full");
  text_option(leaf, "--against", request->against, "TEXT", "spore sizes as a description prints them");
  reports(
      leaf, context,
      [request] {
        app::Session session;
        return app::spores(session, *request);
      },
      say_spores);
}

}  // namespace stumpwise::cli
