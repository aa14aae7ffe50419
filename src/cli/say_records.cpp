#include <fmt/format.h>

#include <algorithm>

#include "say.h"

namespace stumpwise::cli {
namespace {

std::string outing_line(const Json& outing) {
  return fmt::format("{:>5}  {}  {:>7}  {:<9}  {}", whole(outing, "id"), day_words(words(outing, "date")),
                     minutes_words(number(outing, "minutes")),
                     yes(outing, "blank") ? std::string("blank") : counted(whole(outing, "finds"), "find"),
                     joined(outing, "targets", " "));
}

std::string find_words(const Json& find) {
  const Json& place = part(find, "place");
  const std::string recorded = words(find, "name_as_recorded"),
                    name = words(find, "species") + (recorded.empty() ? "" : " " + recorded);
  std::string text = fmt::format("{:>5}  {}  {}, {}", whole(find, "id"), words(find, "date"), name,
                                 counted(whole(find, "pieces"), "piece"));
  if (place.is_object()) text += ", at " + place_words(number(place, "lat"), number(place, "lon"));
  if (!words(find, "host_genus").empty()) text += ", on " + words(find, "host_genus");
  if (!words(find, "substrate").empty()) text += ", " + words(find, "substrate");
  if (const auto cap = number(find, "cap_mm")) text += fmt::format(", cap {:.0f} mm", *cap);
  if (const auto outing = number(find, "outing")) text += fmt::format(", outing {:.0f}", *outing);
  return text;
}

std::string find_in(const Json& find, const Units& units) {
  return units.us ? units.in_words(find_words(find), false) : find_words(find);
}

}  // namespace

std::string say_outing_add(const Json& answer, const Units&) {
  Page page;
  page.head(invented(answer),
            (fmt::format("Outing {} of {}: {} in the field, {} track points", whole(answer, "id"),
                         day_words(words(answer, "date")), minutes_words(number(answer, "minutes")),
                         whole(answer, "points"))));
  page.wrap("Looked for: " + joined(answer, "targets"), 2, 2);
  page.line(fmt::format("  Add its finds: stumpwise find add --outing {} --species S --at LAT,LON",
                        whole(answer, "id")));
  return page.closing(answer).text();
}

std::string say_outing_list(const Json& answer, const Units&) {
  const Json& outings = items(answer, "outings");
  const bool any_invented =
      std::any_of(outings.begin(), outings.end(), [](const Json& outing) { return yes(outing, "invented"); });
  Page page;
  page.head(any_invented, (fmt::format("{} outings, {} of them blank", outings.size(),
                                       std::count_if(outings.begin(), outings.end(),
                                                     [](const Json& o) { return yes(o, "blank"); }))));
  for (const Json& outing : outings) page.wrap(outing_line(outing), 0, 44);
  return page.closing(answer).text();
}

std::string say_outing_show(const Json& answer, const Units& units) {
  Page page;
  page.head(invented(answer), (fmt::format("Outing {} on {}, {}", whole(answer, "id"),
                                           words(answer, "ground"), day_words(words(answer, "date")))));
  if (!words(answer, "start").empty()) page.line("  began " + words(answer, "start"));
  page.line(fmt::format(
      "  {} in the field, {}, {}", minutes_words(number(answer, "minutes")),
      whole(answer, "people") == 1 ? "one person" : std::to_string(whole(answer, "people")) + " people",
      counted(whole(answer, "points"), "track point")));
  if (const auto searching = number(answer, "search_minutes"))
    page.line("  " + minutes_words(searching) + " of searching");
  if (!words(answer, "observer").empty()) page.line("  looked: " + words(answer, "observer"));
  page.wrap("Looked for: " + joined(answer, "targets"), 2, 2);
  if (!words(answer, "note").empty()) page.wrap(words(answer, "note"), 2, 0);
  page.title(yes(answer, "blank") ? "No finds: a blank outing, which is data" : "Finds");
  for (const Json& find : items(answer, "find_list")) page.wrap(find_in(find, units), 0, 7);
  return page.closing(answer).text();
}

std::string say_find_add(const Json& answer, const Units& units) {
  return Page().line("Find is in the book:").wrap(find_in(answer, units), 0, 7).closing(answer).text();
}

std::string say_find_list(const Json& answer, const Units& units) {
  Page page;
  page.head(invented(answer), (counted(static_cast<long long>(items(answer, "finds").size()), "find")));
  for (const Json& find : items(answer, "finds")) page.wrap(find_in(find, units), 0, 7);
  return page.closing(answer).text();
}

}  // namespace stumpwise::cli
