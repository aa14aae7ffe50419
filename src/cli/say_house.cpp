#include <fmt/format.h>

#include <algorithm>

#include "say.h"

namespace stumpwise::cli {

std::string say_demo(const Json& answer, const Units&) {
  Page page;
  page.head(true, ("Ennoway Vale is ready"));
  page.line("  Book     " + words(answer, "book"));
  page.line("  Sources  " + words(answer, "folder") + "/source");
  const Json& outings = part(answer, "outings");
  page.line(
      fmt::format("  Outings  {}, of which {} blank", whole(outings, "count"), whole(outings, "blank")));
  if (!items(answer, "next").empty()) page.title("Next");
  for (const Json& each : items(answer, "next"))
    if (each.is_string()) page.line("  " + each.get<std::string>());
  return page.closing(answer).text();
}

std::string say_today(const Json& answer, const Units& units) {
  const Json& grounds = items(answer, "grounds");
  const bool any_invented =
      std::any_of(grounds.begin(), grounds.end(), [](const Json& ground) { return yes(ground, "invented"); });
  Page page;
  page.head(any_invented, ("Today, " + day_words(words(answer, "today"))));
  for (const Json& ground : grounds) {
    page.title("Up on " + words(ground, "name") + " (index 0 to 1)");
    for (const Json& species : items(ground, "up")) {
      page.line(fmt::format("  {} {} today {:.2f}, best {:.2f} on {}", words(species, "id"),
                            padded(words(species, "name"), 30), number(species, "today").value_or(0),
                            number(species, "best_index").value_or(0), words(species, "best_date")));
      if (!words(species, "limit").empty())
        page.wrap("held back by: " + units.in_words(words(species, "limit"), true), 6, 2);
    }
  }
  return page.bullets("Open items", items(answer, "items")).closing(answer).text();
}

std::string say_check(const Json& answer, const Units&) {
  Page page;
  page.line(yes(answer, "ok") ? "The book and the profiles are whole." : "Something needs mending:");
  if (number(answer, "schema_version"))
    page.line(fmt::format("  Book format {}", whole(answer, "schema_version")));
  return page.bullets("Found", items(answer, "issues"))
      .bullets("Warnings", items(answer, "warnings"))
      .closing(answer)
      .text();
}

}  // namespace stumpwise::cli
