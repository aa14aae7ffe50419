#include <fmt/format.h>

#include <algorithm>

#include "say.h"

namespace stumpwise::cli {
namespace {

/// With more species than this, driver and limit are told for the best day only: else the days drown in
/// words.
constexpr std::size_t kMostInFull = 3;

std::string station_words(const Json& answer, const Units& units) {
  const Json& station = part(answer, "station");
  if (!station.is_object()) return {};
  const std::string name = words(station, "name").empty() ? words(station, "id") : words(station, "name");
  std::string text = "Weather of station " + name;
  if (const auto km = number(station, "distance_km")) text += ", " + units.way(*km * 1000) + " away";
  if (const auto higher = number(station, "height_difference_m"))
    text += ", height difference " + units.height(higher);
  return text;
}

void reasons(Page& page, const Json& day, const Units& units) {
  if (!words(day, "driver").empty())
    page.wrap("lifted by: " + units.in_words(words(day, "driver"), true), 6, 2);
  if (!words(day, "limit").empty())
    page.wrap("held back by: " + units.in_words(words(day, "limit"), true), 6, 2);
}

void species_days(Page& page, const Json& species, const Units& units, bool in_full) {
  const Json& days = items(species, "days");
  const std::string vernacular = words(species, "vernacular");
  page.title(words(species, "id") + " " + words(species, "name") +
             (vernacular.empty() ? "" : " (" + vernacular + ")"));
  page.line("  day             index  90 % band     rests on");
  const auto best = std::max_element(days.begin(), days.end(), [](const Json& a, const Json& b) {
    return number(a, "index").value_or(0) < number(b, "index").value_or(0);
  });
  for (auto day = days.begin(); day != days.end(); ++day) {
    page.line(fmt::format("  {}  {:.2f}   {:.2f} to {:.2f}  {}{}", day_words(words(*day, "date")),
                          number(*day, "index").value_or(0), number(*day, "low90").value_or(0),
                          number(*day, "high90").value_or(0), words(*day, "basis"),
                          !in_full && day == best ? "  (best)" : ""));
    if (in_full) reasons(page, *day, units);
  }
  if (!in_full && best != days.end()) reasons(page, *best, units);
  if (yes(species, "default_guild"))
    page.wrap("Its answer to the weather is that of its guild, not its own.", 2, 2);
}

}  // namespace

std::string say_outlook(const Json& answer, const Units& units) {
  Page page;
  const Json& species = items(answer, "species");
  page.head(invented(answer), ("Outlook for " + words(answer, "ground")));
  page.wrap("Index 0 to 1: how far season and weather favour fruiting, at " +
            place_words(number(answer, "lat"), number(answer, "lon")) + ", " +
            units.height(number(answer, "elevation_m")) + ".");
  page.wrap(station_words(answer, units) + ".");
  for (const Json& each : species) species_days(page, each, units, species.size() <= kMostInFull);
  if (species.size() > kMostInFull)
    page.line().wrap("With --species, what lifts and holds back each single day is told.");
  return page.closing(with_notes_in(units, answer)).text();
}

std::string say_prospect(const Json& answer, const Units& units) {
  Page page;
  const Json& species = part(answer, "species");
  page.head(invented(answer),
            ("Prospect on " + words(answer, "ground") + ", " + day_words(words(answer, "date"))));
  page.line("  " + words(species, "id") + " " + words(species, "name") +
            (yes(species, "learned") ? ", learned from your outings" : ", from the profile alone"));
  const Json& finds = part(answer, "median_finds_per_ha");
  page.line("  Half of the land has at least  " + units.density(number(finds, "p50")) + " (median estimate)");
  page.line("  The best tenth at least        " + units.density(number(finds, "p90")));
  page.line("  The best cell                  " + units.density(number(finds, "max")));
  if (const auto share = number(answer, "extrapolated_share"); share && *share > 0)
    page.wrap(fmt::format("Extrapolated on {} of the land: unlike anything that the numbers come from.",
                          *share > 0.994   ? std::string("all")
                          : *share < 0.001 ? std::string("under 0.1 %")
                                           : fmt::format("{:.1f} %", 100 * *share)),
              2, 0);
  if (!words(answer, "out").empty())
    page.line().wrap(
        "Written: " + words(answer, "out") + " (finds per hectare: median, 5 %, 95 %; extrapolated 0 or 1)",
        0, 2);
  return page.closing(with_notes_in(units, answer)).text();
}

std::string say_learn(const Json& answer, const Units& units) {
  Page page;
  page.head(invented(answer), ("Learned on " + words(answer, "ground")));
  for (const Json& species : items(answer, "species")) {
    page.title(words(species, "id") + " " + words(species, "name"));
    page.line(fmt::format("  {} looked for it, {}{}", counted(whole(species, "outings"), "outing"),
                          counted(whole(species, "finds"), "find"),
                          yes(species, "converged") ? "" : "; the fit did not settle"));
    const Json& variant = part(species, "variant");
    if (variant.is_object())
      page.wrap(
          fmt::format(
              "Fits best with the season shifted by {:+.0f} days and {:.2f} times the water it wants.",
              number(variant, "season_shift_days").value_or(0), number(variant, "rain_factor").value_or(1)),
          2, 0);
    if (!items(species, "coefficients").empty())
      page.line("  " + padded("of its density (log scale)", 28) + "  before           now");
    for (const Json& each : items(species, "coefficients"))
      page.line(fmt::format("  {}  {:+.2f} +- {:.2f}   {:+.2f} +- {:.2f}", padded(words(each, "name"), 28),
                            number(each, "prior_mean").value_or(0), number(each, "prior_sd").value_or(0),
                            number(each, "mean").value_or(0), number(each, "sd").value_or(0)));
  }
  return page.closing(with_notes_in(units, answer)).text();
}

}  // namespace stumpwise::cli
