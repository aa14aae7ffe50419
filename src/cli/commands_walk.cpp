#include "command.h"
#include "say.h"
#include "stumpwise/app/actions.h"

namespace stumpwise::cli {
namespace {

void add_plan(Context& context) {
  CLI::App& leaf = command(context.app, "plan",
                           "A walk within your hours and the daylight, each stop with its turn-back time.",
                           "stumpwise plan --start 42.0105,-30.0212 --hours 5 --date 2026-05-12 \\\n"
                           "    --depart 09:00 --species E01 --gpx walk.gpx --sheet walk.html\n"
                           "stumpwise plan --start 42.0105,-30.0212 --hours 4 --days 7");
  auto request = std::make_shared<app::PlanRequest>();
  place_option(leaf, "--start", request->start, "where the walk begins")->required();
  number_option(leaf, "--hours", request->hours, "H", "how long you are out")->required();
  date_option(leaf, "--date", request->date, "the day, or the first of --days (today)");
  clock_option(leaf, "--depart", request->depart_clock_min, "when you leave, in the ground's zone (09:00)");
  integer_option(leaf, "--days", request->days, "N", "rank so many days and plan the best (1)");
  place_option(leaf, "--end", request->end, "where the walk ends (at its start)");
  number_option(leaf, "--buffer", request->buffer_min, "MIN", "be back so long before sunset (45)");
  number_option(leaf, "--factor", request->factor, "X", "the way back takes so many times longer (1.25)");
  list_option(leaf, "--species", request->species, "S", "what you look for (those of group edible)");
  integer_list_option(leaf, "--must", request->must, "N", "patches the walk must visit");
  integer_list_option(leaf, "--never", request->never, "N", "patches it must leave out");
  integer_option(leaf, "--alternatives", request->alternatives, "N", "so many other walks, 0 to 5 (0)");
  text_option(leaf, "--gpx", request->gpx, "F.gpx", "write the route for a GPS receiver");
  text_option(leaf, "--sheet", request->sheet, "F.html", "write a sheet to print");
  takes_ground(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        request->ground = context.common.ground;
        auto session = context.session();
        return app::plan(session, *request);
      },
      [request](const Json& answer, const Units& units) {
        // The files are no part of the answer, which is the page's too.
        std::string text = say_plan(answer, units);
        if (!request->gpx.empty() || !request->sheet.empty()) text += "\n";
        if (!request->gpx.empty()) text += "Written: " + request->gpx + "\n";
        if (!request->sheet.empty()) text += "Written: " + request->sheet + "\n";
        return text;
      });
}

void add_turnback(Context& context) {
  CLI::App& leaf =
      command(context.app, "turnback", "When to turn back, so that you are out before dark. Needs no book.",
              "stumpwise turnback --at 42.0,-30.0 --tz America/Nuuk \\\n"
              "    --date 2026-10-18 --km 3 --climb 200 --off-trail");
  auto request = std::make_shared<app::TurnbackRequest>();
  place_option(leaf, "--at", request->at, "where you are")->required();
  date_option(leaf, "--date", request->date, "the day")->required();
  number_option(leaf, "--km", request->km, "K", "how far out you go")->required();
  number_option(leaf, "--climb", request->climb_m, "METRES",
                "how much higher the far end lies (0; lower: minus)");
  leaf.add_flag("--off-trail", request->off_trail, "not on a path");
  number_option(leaf, "--buffer", request->buffer_min, "MIN", "be back so long before sunset (45)");
  number_option(leaf, "--factor", request->factor, "X", "the way back takes so many times longer (1.25)");
  clock_option(leaf, "--depart", request->depart_clock_min, "when you leave: refused if too late");
  text_option(leaf, "--tz", request->zone, "ZONE", "time zone (else the ground's)");
  takes_ground(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        request->ground = context.common.ground;
        if (request->zone.empty() && !context.book_path().empty()) {
          auto session = context.session();
          return app::turnback(session, *request);
        }
        app::Session none;
        return app::turnback(none, *request);
      },
      say_turnback);
}

}  // namespace

void add_walk_commands(Context& context) {
  add_plan(context);
  add_turnback(context);
}

}  // namespace stumpwise::cli
