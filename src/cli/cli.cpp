#include "stumpwise/cli/cli.h"

#include <cstdio>

#include "command.h"
#include "stumpwise/base/error.h"
#include "words_off.h"

namespace stumpwise::cli {
namespace {

void describe(Context& context) {
  CLI::App& app = context.app;
  app.set_version_flag("--version", "stumpwise " STUMPWISE_VERSION);
  app.require_subcommand(1);
  app.footer(
      "Example:\n"
      "  stumpwise demo valley\n"
      "  export STUMPWISE_BOOK=valley/ennoway.gpkg\n"
      "  stumpwise outlook --days 7\n"
      "  stumpwise plan --help\n"
      "Dates are YYYY-MM-DD, places LAT,LON in degrees. Exit status: 0 done, 1 the work\n"
      "failed, 2 bad usage. A tool for learning and records; it is not a safety device\n"
      "and says of nothing that it may be eaten.");
  add_house_commands(context);
  add_ground_commands(context);
  add_species_commands(context);
  add_key_commands(context);
  add_spore_commands(context);
  add_walk_commands(context);
  add_record_commands(context);
}

}  // namespace

int run(int argc, char** argv, const Faces& faces) {
  Context context(faces);
  describe(context);
  try {
    context.app.parse(argc, argv);
  } catch (const CLI::ParseError& fault) {
    if (fault.get_exit_code() == static_cast<int>(CLI::ExitCodes::Success))
      return context.app.exit(fault);  // --help, --version
    throw words_off(context.app, {argv + 1, argv + argc}, fault);
  }
  return context.action();
}

int tell(const std::exception& error) {
  if (const auto* ours = dynamic_cast<const Error*>(&error)) {
    std::fprintf(stderr, "stumpwise: %s\n", ours->full_text().c_str());
    return base::exit_status(ours->code());
  }
  std::fprintf(stderr, "stumpwise: %s\n  This is a fault of the program, not of what you asked.\n",
               error.what());
  return base::exit_status(ErrorCode::internal);
}

}  // namespace stumpwise::cli
