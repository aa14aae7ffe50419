#include "command.h"
#include "say.h"
#include "stumpwise/app/actions.h"

namespace stumpwise::cli {
namespace {

void add_outing_add(CLI::App& parent, Context& context) {
  CLI::App& leaf = command(parent, "add", "One trip that happened; no finds is data too.",
                           "stumpwise outing add --gpx today.gpx --target E01 --target E05 --people 2\n"
                           "stumpwise outing add --date 2026-05-10 --minutes 150 --search-minutes 90 \\\n"
                           "    --at 42.01,-30.02 --target \"dryad's saddle\"");
  auto request = std::make_shared<app::OutingAddRequest>();
  text_option(leaf, "--gpx", request->gpx, "F.gpx", "its track");
  list_option(leaf, "--target", request->targets, "S", "what was looked for, any name or id")->required();
  integer_option(leaf, "--people", request->people, "N", "how many looked (1)");
  date_option(leaf, "--date", request->date, "the day (the track's, else today)");
  number_option(leaf, "--minutes", request->minutes, "MIN", "in the field, where there is no track");
  number_option(leaf, "--search-minutes", request->search_minutes, "MIN", "of these, searching");
  place_option(leaf, "--at", request->at, "about where, where there is no track");
  text_option(leaf, "--observer", request->observer, "WHO", "who looked");
  text_option(leaf, "--note", request->note, "TEXT", "anything else");
  takes_ground(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        request->ground = context.common.ground;
        auto session = context.session();
        return app::outing_add(session, *request);
      },
      say_outing_add);
}

void add_outing(Context& context) {
  CLI::App& outing =
      group(context.app, "outing", "Trips that happened, blank ones too.", "stumpwise outing list");
  add_outing_add(outing, context);
  CLI::App& list =
      command(outing, "list", "The outings of a ground.", "stumpwise outing list --ground tarnwick");
  takes_ground(list, context);
  reports(
      list, context,
      [&context] {
        auto session = context.session();
        return app::outing_list(session, context.common.ground);
      },
      say_outing_list);
  shows_by_number(outing, context, "One outing with its finds.", "stumpwise outing show 12", app::outing_show,
                  say_outing_show);
}

struct FindRequest {
  records::Find find;
  std::string species;
  std::optional<Date> date;
  int outing = 0;
};

Json add_the_find(const Context& context, FindRequest& request) {
  auto session = context.session();
  request.find.outing = request.outing;
  request.find.date = session.today();
  // A find of an outing was made on its day unless you say otherwise.
  if (request.outing)
    if (const auto outing = session.book().outing(request.outing)) request.find.date = outing->date;
  if (request.date) request.find.date = *request.date;
  return app::find_add(session, request.find, request.species);
}

void add_find(Context& context) {
  CLI::App& find = group(context.app, "find", "Fruitings found.", "stumpwise find list");
  CLI::App& leaf = command(find, "add", "One fruiting; a cluster on one log counts as one.",
                           "stumpwise find add --species E01 --at 42.0112,-30.0198 --outing 12 \\\n"
                           "    --host Ulmus --pieces 3");
  auto request = std::make_shared<FindRequest>();
  text_option(leaf, "--species", request->species, "S", "any name or id; kept as you write it")->required();
  place_option(leaf, "--at", request->find.place, "where")->required();
  date_option(leaf, "--date", request->date, "the day (the outing's, else today)");
  integer_option(leaf, "--outing", request->outing, "N", "the outing it belongs to");
  text_option(leaf, "--host", request->find.host_genus, "GENUS", "the tree, for example Ulmus");
  text_option(leaf, "--told-by", request->find.host_told_by, "HOW",
              "how the tree was told: leaf, bark, bud, wood");
  text_option(leaf, "--substrate", request->find.substrate, "TEXT", "what it grew on, for example dead wood");
  integer_option(leaf, "--pieces", request->find.pieces, "N", "fruit bodies (1)");
  number_option(leaf, "--cap-mm", request->find.cap_mm, "MM", "width of the largest cap");
  text_option(leaf, "--note", request->find.note, "TEXT", "anything else");
  takes_book(leaf, context);
  reports(
      leaf, context, [&context, request] { return add_the_find(context, *request); }, say_find_add);

  CLI::App& list = command(find, "list", "The finds of a ground.", "stumpwise find list --ground tarnwick");
  takes_ground(list, context);
  reports(
      list, context,
      [&context] {
        auto session = context.session();
        return app::find_list(session, context.common.ground);
      },
      say_find_list);
}

}  // namespace

void add_record_commands(Context& context) {
  add_outing(context);
  add_find(context);
}

}  // namespace stumpwise::cli
