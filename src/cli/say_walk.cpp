#include <fmt/format.h>

#include "say.h"

namespace stumpwise::cli {
namespace {

std::string name_of(const Json& leg, const char* key) {
  const Json& end = part(leg, key);
  return end.is_string() ? end.get<std::string>() : end.is_number() ? end.dump() : "?";
}

std::string finds_of(const Json& json) {
  return finds_words(number(json, "median_finds"), number(json, "low90"), number(json, "high90"));
}

void ranking(Page& page, const Json& answer) {
  if (items(answer, "days").empty()) return;
  page.title("Days, best first (expected finds on that day's walk)");
  for (const Json& day : items(answer, "days")) {
    const std::string why_not = words(day, "why_not");
    if (why_not.empty())
      page.line("  " + day_words(words(day, "date")) + "  " + padded(finds_of(day), 42) +
                words(day, "basis"));
    else
      page.wrap(day_words(words(day, "date")) + "  no walk: " + why_not, 2, 16);
  }
}

void clock(Page& page, const Json& answer) {
  page.title("Clock on " + day_words(words(answer, "date")) +
             (words(answer, "zone").empty() ? "" : " (" + words(answer, "zone") + ")"));
  page.line("  Depart            " + clock_words(words(answer, "depart")) + "   latest that still works " +
            clock_words(words(answer, "latest_depart")));
  if (!words(answer, "end_time").empty())
    page.line("  End of the walk   " + clock_words(words(answer, "end_time")));
  if (!words(answer, "deadline").empty())
    page.line("  Be back by        " + clock_words(words(answer, "deadline")) + "   sunset less " +
              minutes_words(number(answer, "buffer_minutes")));
  page.line("  Sunset            " + clock_words(words(answer, "sunset")) + "   civil dusk " +
            clock_words(words(answer, "civil_dusk")));
}

std::string leave_rule(const Json& stop) {
  std::string text;
  int finds = 0;
  for (const Json& minutes : items(stop, "leave_after")) {
    if (minutes.is_number())
      text += fmt::format("{}{}: {}{:.0f} min", text.empty() ? "" : "; ",
                          finds == 0 ? "0 finds" : std::to_string(finds), finds == 0 ? "leave after " : "",
                          minutes.get<double>());
    ++finds;
  }
  return text;
}

void one_stop(Page& page, const Json& stop, std::size_t number_of_stop, const Units& units) {
  page.title(fmt::format("STOP {}   {}   patch {}, {}", number_of_stop,
                         place_words(number(stop, "lat"), number(stop, "lon")), whole(stop, "patch"),
                         units.area(number(stop, "area_m2"))));
  page.line("  Arrive " + clock_words(words(stop, "arrive")) + "   search " +
            minutes_words(number(stop, "search_minutes")) + "   leave by " +
            clock_words(words(stop, "leave_by")));
  page.wrap(fmt::format("TURN BACK {} at the latest: {} back, bearing {:.0f}° true, {} in a straight line",
                        clock_words(words(stop, "turn_back")), minutes_words(number(stop, "return_minutes")),
                        number(stop, "bearing_deg").value_or(0), units.way(number(stop, "distance_m"))),
            2, 2);
  page.line("  Expected " + finds_of(stop));
  const std::string rule = leave_rule(stop);
  if (!rule.empty()) page.wrap(rule, 2, 2);
  std::string standing;
  for (const Json& species : items(stop, "species"))
    if (const auto finds = number(species, "standing"))
      standing += fmt::format("{}{} {:.2f}", standing.empty() ? "" : ", ", words(species, "id"), *finds);
  if (!standing.empty()) page.wrap("Standing in the patch (finds): " + standing, 2, 2);
  for (const Json& history : items(stop, "history"))
    if (history.is_string()) page.wrap("! " + history.get<std::string>(), 2, 2);
}

void walk(Page& page, const Json& walk, const Units& units) {
  std::size_t number_of_stop = 0;
  for (const Json& stop : items(walk, "stops")) one_stop(page, stop, ++number_of_stop, units);
  if (items(walk, "legs").empty()) return;
  page.title("Legs");
  for (const Json& leg : items(walk, "legs"))
    page.line(
        fmt::format("  {} {} climb {} {}", padded(name_of(leg, "from") + " to " + name_of(leg, "to"), 22),
                    padded(units.way(number(leg, "length_m")), 9),
                    padded(units.height(number(leg, "climb_m")), 8), minutes_words(number(leg, "minutes"))));
}

std::string total_words(const Json& total, const Units& units) {
  return units.way(number(total, "length_m")) + ", climb " + units.height(number(total, "climb_m")) + ", " +
         minutes_words(number(total, "minutes")) + " in all, " + finds_of(total);
}

}  // namespace

std::string say_plan(const Json& answer, const Units& units) {
  Page page;
  page.head(invented(answer),
            ("Plan for " + words(answer, "ground") + ", " + day_words(words(answer, "date"))));
  std::string species;
  for (const Json& each : items(answer, "species"))
    species += (species.empty() ? "" : ", ") + words(each, "id") + " " + words(each, "name");
  if (!species.empty()) page.wrap("Looking for " + species, 0, 2);
  ranking(page, answer);
  clock(page, answer);
  if (part(answer, "total").is_object())
    page.title("The walk").wrap(total_words(part(answer, "total"), units), 2, 0);
  walk(page, answer, units);
  std::size_t other = 0;
  for (const Json& each : items(answer, "alternatives")) {
    page.title(fmt::format("---- Another walk, {}", ++other))
        .wrap(total_words(part(each, "total"), units), 2, 0);
    walk(page, each, units);
  }
  return page.closing(with_notes_in(units, answer)).text();
}

std::string say_turnback(const Json& answer, const Units&) {
  Page page;
  page.line("TURN BACK at " + clock_words(words(answer, "turn_back")) + " at the latest on " +
            day_words(words(answer, "date")));
  page.line("  Sunset " + clock_words(words(answer, "sunset")) + ", civil dusk " +
            clock_words(words(answer, "civil_dusk")) + " (" + words(answer, "zone") + ")");
  page.line("  Be back by " + clock_words(words(answer, "deadline")) + ": sunset less " +
            minutes_words(number(answer, "buffer_minutes")));
  page.line("  Out " + minutes_words(number(answer, "outbound_minutes")) + ", back " +
            minutes_words(number(answer, "return_minutes")) +
            fmt::format(" (reckoned {:.2f} times as long){}", number(answer, "factor").value_or(1),
                        yes(answer, "off_trail") ? ", off the trail" : ""));
  page.line("  Leave by " + clock_words(words(answer, "latest_depart")) + " to get that far");
  return page.closing(answer).text();
}

}  // namespace stumpwise::cli
