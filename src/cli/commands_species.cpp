#include "command.h"
#include "say.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

void add_species(Context& context) {
  CLI::App& species = group(context.app, "species", "What is known of each species, with its sources.",
                            "stumpwise species show \"Cerioporus squamosus\"");
  CLI::App& list =
      command(species, "list", "The profiles, filtered.",
              "stumpwise species list --month 5 --region EU\nstumpwise species list --group dangerous");
  auto filter = std::make_shared<app::SpeciesFilter>();
  integer_option(list, "--month", filter->month, "N", "fruiting in this month, 1 to 12");
  text_option(list, "--region", filter->region, "R", "EU, NA-E, NA-W, ...; several with +");
  text_option(list, "--host", filter->host, "GENUS", "with this host, for example Ulmus");
  text_option(list, "--group", filter->group, "G", "edible, conditional, harmless or dangerous");
  reports(
      list, context,
      [filter] {
        app::Session session;
        return app::species_list(session, *filter);
      },
      say_species_list);

  CLI::App& show = command(species, "show", "One profile: names, characters, doubles, rules, cautions.",
                           "stumpwise species show E01\nstumpwise species show Galerina marginata");
  auto name = std::make_shared<std::vector<std::string>>();
  show.add_option("NAME", *name, "id or any name, old or vernacular")->required();
  reports(
      show, context,
      [name] {
        app::Session session;
        return app::species_show(session, base::join(*name, " "));
      },
      say_species_show);

  CLI::App& check = command(species, "check", "Faults of the profiles, and how much rests on what.",
                            "stumpwise species check");
  reports(
      check, context,
      [] {
        app::Session session;
        return app::species_check(session);
      },
      say_species_check, true);
}

void add_outlook(Context& context) {
  CLI::App& leaf = command(
      context.app, "outlook", "Day by day: how far season and weather favour each species.",
      "stumpwise outlook --days 7\nstumpwise outlook --at 42.01,-30.02 --species E01 E05 --from 2026-05-08");
  auto request = std::make_shared<app::OutlookRequest>();
  place_option(leaf, "--at", request->at, "for this place (the ground's centre and usual height)");
  list_option(leaf, "--species", request->species, "S", "any name or id (those of group edible)");
  date_option(leaf, "--from", request->from, "first day (today)");
  integer_option(leaf, "--days", request->days, "N", "how many days (10)");
  takes_ground(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        request->ground = context.common.ground;
        auto session = context.session();
        return app::outlook(session, *request);
      },
      say_outlook);
}

void add_prospect(Context& context) {
  CLI::App& leaf =
      command(context.app, "prospect", "Map of expected finds per hectare of a species on a day.",
              "stumpwise prospect --species E01 --date 2026-05-12 --out e01.tif");
  auto request = std::make_shared<app::ProspectRequest>();
  text_option(leaf, "--species", request->species, "S", "any name or id")->required();
  date_option(leaf, "--date", request->date, "the day (today)");
  text_option(leaf, "--out", request->out, "F.tif", "GeoTIFF to write: median, 5 %, 95 %, extrapolated")
      ->required();
  takes_ground(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        request->ground = context.common.ground;
        auto session = context.session();
        return app::prospect(session, *request);
      },
      say_prospect);
}

void add_learn(Context& context) {
  CLI::App& leaf = command(context.app, "learn", "Learn from the outings of a ground, blank ones too.",
                           "stumpwise learn\nstumpwise learn --species E01 --ground tarnwick");
  auto request = std::make_shared<app::LearnRequest>();
  list_option(leaf, "--species", request->species, "S", "any name or id (all that were looked for)");
  takes_ground(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        request->ground = context.common.ground;
        auto session = context.session();
        return app::learn(session, *request);
      },
      say_learn);
}

}  // namespace

void add_species_commands(Context& context) {
  add_species(context);
  add_outlook(context);
  add_prospect(context);
  add_learn(context);
}

}  // namespace stumpwise::cli
