#include <fmt/format.h>

#include "say.h"

namespace stumpwise::cli {
namespace {

std::string extent(const Json& ground, const Units& units) {
  const auto cell_m = number(ground, "cell_m");
  const long long cols = whole(ground, "cols"), rows = whole(ground, "rows");
  if (!cell_m) return {};
  return fmt::format("{} x {}, {} x {} cells of {}", units.way(static_cast<double>(cols) * *cell_m),
                     units.way(static_cast<double>(rows) * *cell_m), cols, rows, units.height(cell_m));
}

void describe(Page& page, const Json& ground, const Units& units) {
  page.wrap("Size     " + extent(ground, units), 2, 9);
  page.line(fmt::format("  Lies     {:.4f} to {:.4f} N, {:.4f} to {:.4f} E (EPSG:{})",
                        number(ground, "south").value_or(0), number(ground, "north").value_or(0),
                        number(ground, "west").value_or(0), number(ground, "east").value_or(0),
                        whole(ground, "epsg")));
  page.line("  Flora    " + words(ground, "region") + ", time zone " + words(ground, "zone"));
  page.line("  Cover    " + (words(ground, "legend").empty()
                                 ? std::string("none: hosts come from your own records alone")
                                 : "legend " + words(ground, "legend")));
  page.line(fmt::format("  Yours    {} known trees, {} access areas, {} history areas",
                        whole(ground, "hosts"), whole(ground, "access_areas"),
                        whole(ground, "history_areas")));
}

std::string years(const Json& area) {
  const auto from = number(area, "year_from"), to = number(area, "year_to");
  if (!from && !to) return {};
  return fmt::format(", {} to {}", from ? fmt::format("{:.0f}", *from) : "?",
                     to ? fmt::format("{:.0f}", *to) : "?");
}

std::string station_name(const Json& answer) {
  const Json& station = part(answer, "station");
  return words(station, "name").empty() ? words(station, "id") : words(station, "name");
}

}  // namespace

std::string say_ground_add(const Json& answer, const Units& units) {
  Page page;
  page.head(invented(answer), ("Ground " + words(answer, "name") + " is in the book"));
  describe(page, answer, units);
  return page.bullets("Found in the files", items(answer, "issues")).closing(answer).text();
}

std::string say_ground_list(const Json& answer, const Units& units) {
  Page page;
  const Json& grounds = items(answer, "grounds");
  if (grounds.empty()) page.line("No ground yet. See stumpwise ground add --help.");
  for (const Json& ground : grounds) {
    page.head(yes(ground, "invented"), (words(ground, "name")));
    page.wrap(words(ground, "region") + ", " + words(ground, "zone") + ", " + extent(ground, units), 2, 2);
  }
  return page.closing(answer).text();
}

std::string say_ground_show(const Json& answer, const Units& units) {
  Page page;
  page.head(invented(answer), ("Ground " + words(answer, "name")));
  describe(page, answer, units);
  if (!items(answer, "access").empty()) page.title("Access, as you noted it");
  for (const Json& area : items(answer, "access")) {
    std::string text = words(area, "name") + ": " + words(area, "kind");
    if (!words(area, "expires").empty()) text += ", ends " + words(area, "expires");
    text += words(area, "checked").empty() ? ", your note has no date"
                                           : ", last checked " + words(area, "checked");
    page.wrap("- " + text + (words(area, "note").empty() ? "" : ". " + words(area, "note")), 2, 2);
  }
  if (!items(answer, "history").empty()) page.title("History of the land");
  for (const Json& area : items(answer, "history"))
    page.wrap("- " + words(area, "name") + ": " + words(area, "kind") + years(area) +
                  (words(area, "note").empty() ? "" : ". " + words(area, "note")),
              2, 2);
  return page.closing(answer).text();
}

std::string say_weather_add(const Json& answer, const Units& units) {
  Page page;
  page.line("Station " + station_name(answer) + ": " + std::to_string(whole(answer, "days")) + " days, " +
            words(answer, "first") + " to " + words(answer, "last"));
  const Json& station = part(answer, "station");
  page.line("  Stands at " + place_words(number(station, "lat"), number(station, "lon")) + ", " +
            units.height(number(station, "elevation_m")));
  page.line(fmt::format("  {} days are new, {} took the place of older ones", whole(answer, "added"),
                        whole(answer, "replaced")));
  if (!items(answer, "gaps").empty()) page.title("Gaps");
  for (const Json& gap : items(answer, "gaps"))
    page.wrap(fmt::format("- {}: {} to {}, {} days, {}", words(gap, "element"), words(gap, "first"),
                          words(gap, "last"), whole(gap, "days"),
                          yes(gap, "filled") ? "filled by " + words(gap, "method") : "left open"),
              2, 2);
  return page.closing(with_notes_in(units, answer)).text();
}

std::string say_weather_note(const Json& answer, const Units& units) {
  std::string text = "Noted for " + day_words(words(answer, "date")) + ":";
  if (number(answer, "rain_mm")) text += " rain " + units.rain(number(answer, "rain_mm")) + ",";
  if (number(answer, "tmin_degc")) text += " lowest " + units.temperature(number(answer, "tmin_degc")) + ",";
  if (number(answer, "tmax_degc")) text += " highest " + units.temperature(number(answer, "tmax_degc")) + ",";
  if (number(answer, "soil_degc")) text += " soil " + units.temperature(number(answer, "soil_degc")) + ",";
  text.pop_back();
  return Page().wrap(text, 0, 2).closing(answer).text();
}

std::string say_weather_forecast(const Json& answer, const Units&) {
  return Page()
      .line(fmt::format("Forecast of {}: {} days, {} to {}", words(answer, "issued"), whole(answer, "days"),
                        words(answer, "first"), words(answer, "last")))
      .closing(answer)
      .text();
}

}  // namespace stumpwise::cli
