#include <fmt/format.h>

#include <array>

#include "say.h"
#include "say_characters.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

std::string months_words(const Json& species) {
  static constexpr std::array kNames{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  std::vector<std::string> names;
  for (const Json& month : items(species, "months"))
    if (month.is_number_integer() && month.get<int>() >= 1 && month.get<int>() <= 12)
      names.push_back(kNames[static_cast<std::size_t>(month.get<int>() - 1)]);
  return base::join(names, " ");
}

/// Sources stand as keys in brackets; their references close the page.
std::string cited(const Json& value) {
  const std::string key = words(value, "source");
  return key.empty() ? "" : " [" + key + "]";
}

void names(Page& page, const Json& answer) {
  if (items(answer, "names").empty()) return;
  page.title("Names, the accepted one first");
  for (const Json& name : items(answer, "names")) {
    std::string text = words(name, "name");
    if (!words(name, "authorship").empty()) text += " " + words(name, "authorship");
    if (const auto year = number(name, "year")) text += fmt::format(" {:.0f}", *year);
    page.wrap("- " + text + ", " + words(name, "status") + cited(name), 2, 2);
  }
  if (!words(answer, "treatment_date").empty())
    page.wrap("The name is followed as of " + words(answer, "treatment_date") + ".", 2, 2);
}

/// Season and what sets the fruiting off, with where they come from.
void fruiting(Page& page, const Json& answer) {
  if (items(answer, "season").empty()) return;
  page.title("When it fruits, at 45 degrees north and sea level");
  for (const Json& mode : items(answer, "season"))
    page.wrap(fmt::format("{} flush about {}, give or take {} days{} [{}]",
                          number(mode, "weight").value_or(0) >= 1 ? "main" : "lesser", words(mode, "peak"),
                          number(mode, "spread_days").value_or(0),
                          words(mode, "kind") == "spring" ? ", later with height and latitude"
                                                          : ", earlier with height and latitude",
                          words(answer, "season_source")),
              2, 2);
  page.wrap("Weather: as the guild " + words(answer, "guild") +
                (yes(answer, "default_guild") ? ", the nearest there is (default guild)" : ""),
            2, 2);
}

/// Said before the doubles: a name that can never be settled, and by which of them.
void never_settled(Page& page, const Json& answer) {
  for (const Json& region : items(answer, "never_above_candidate"))
    page.wrap(
        fmt::format(
            "In {} this name never rises above candidate: two kinds of evidence that last do not part it "
            "from {}.",
            words(region, "region"), joined(region, "shut_by", " ")),
        2, 2);
}

std::string hours_words(const Json& range) {
  if (!range.is_object()) return "none recorded";
  const double least = number(range, "min").value_or(0), most = number(range, "max").value_or(0);
  return least == most ? fmt::format("about {} h", least) : fmt::format("{} to {} h", least, most);
}

/// Gut and organ as two columns: the one never stands for the other.
void onsets(Page& page, const Json& danger) {
  constexpr std::size_t kLabel = 15, kColumn = 30;
  const Json &gut = part(danger, "gut_onset_h"), &organ = part(danger, "organ_onset_h");
  auto row = [&](const char* label, const std::string& left, const std::string& right) {
    page.wrap(padded(label, kLabel) + padded(left, kColumn) + right, 2, kLabel);
  };
  auto usual = [](const Json& range) {
    return range.is_object() ? fmt::format("{} to {} h", number(range, "usual_min").value_or(0),
                                           number(range, "usual_max").value_or(0))
                             : std::string("-");
  };
  row("Onset", "first signs (gut)", "organ damage");
  row("  usually", usual(gut), usual(organ));
  row("  as read", hours_words(gut), hours_words(organ));
}

void danger(Page& page, const Json& answer) {
  const Json& its = part(answer, "danger");
  if (!its.is_object()) return;
  page.title("DANGER");
  const std::string name =
      words(its, "syndrome_name").empty() ? words(its, "syndrome") : words(its, "syndrome_name");
  page.wrap(name + ". " + words(its, "severity") + cited(its), 2, 2);
  onsets(page, its);
  if (!words(its, "syndrome_note").empty()) page.wrap(words(its, "syndrome_note"), 2, 2);
  if (!words(its, "cooking").empty()) page.wrap("Cooking: " + words(its, "cooking"), 2, 2);
}

void pairs(Page& page, const Json& answer) {
  if (items(answer, "pairs").empty()) return;
  page.title("Doubles in this book, dangerous ones first; others may exist");
  page.wrap("In the reasons a is what is gathered and b its double.", 2, 0);
  for (const Json& pair : items(answer, "pairs")) {
    const std::string name = words(pair, "name").empty() ? "no profile yet" : words(pair, "name");
    std::string text = words(pair, "with") + " " + name + (yes(pair, "danger") ? " [DANGER]" : "");
    if (yes(pair, "pending"))
      text += ". PENDING, counts as blocked";
    else if (yes(pair, "blocked"))
      text += ". BLOCKED: nothing in this book tells them apart with confidence";
    else if (!items(pair, "characters").empty())
      text += ", told apart by " + joined(pair, "characters");
    if (!words(pair, "why").empty()) text += ". " + words(pair, "why");
    page.wrap("- " + text + cited(pair), 2, 2);
  }
}

void rules(Page& page, const Json& answer, const char* key, const char* heading) {
  if (items(answer, key).empty()) return;
  page.title(heading);
  for (const Json& rule : items(answer, key)) page.wrap("- " + words(rule, "text") + cited(rule), 2, 2);
}

std::string span_words(const Json& span, const std::string& unit) {
  if (!span.is_array() || span.size() != 2 || !span[0].is_number() || !span[1].is_number()) return {};
  return fmt::format("{} to {} {}", span[0].get<double>(), span[1].get<double>(), unit);
}

std::string freshness_words(const std::string& freshness) {
  if (freshness == "hours") return "hours only";
  if (freshness == "fragile") return "about a day in the cold";
  if (freshness == "ordinary") return "2 to 3 days in the cold";
  if (freshness == "lasting") return "up to a week in the cold";
  return freshness;
}

void take(Page& page, const Json& answer) {
  const Json& its = part(answer, "take");
  if (!its.is_object()) return;
  page.title("What is taken, in numbers (of confirmed pieces only)");
  const Json& sources = part(its, "sources");
  auto row = [&](const char* label, const std::string& text, const char* field) {
    if (text.empty()) return;
    const std::string key = words(sources, field);
    page.wrap(padded(label, 18) + text + (key.empty() ? "" : " [" + key + "]"), 2, 18);
  };
  auto size = [&](const char* key) {
    const auto value = number(its, key);
    return value ? fmt::format("up to {} mm", *value) : std::string();
  };
  row("whole", size("whole_to_mm"), "whole_to_mm");
  row("tender margin", size("margin_to_mm"), "margin_to_mm");
  row("width of margin", span_words(part(its, "margin_mm"), "mm"), "margin_mm");
  row("parts", joined(its, "parts"), "parts");
  row("for stock only", joined(its, "stock_parts"), "stock_parts");
  if (const auto minutes = number(its, "cook_minutes"))
    row("cooked through", fmt::format("at least {} minutes", *minutes), "cook_minutes");
  row("keeps", freshness_words(words(its, "freshness")), "freshness");
  row("drying", words(its, "drying"), "drying");
  row("stays tender", span_words(part(its, "tender_days"), "days"), "tender_days");
  row("visible", span_words(part(its, "visible_days"), "days"), "visible_days");
}

void hosts(Page& page, const Json& answer) {
  if (items(answer, "hosts").empty()) return;
  std::string text;
  for (const Json& host : items(answer, "hosts")) {
    text += (text.empty() ? "" : ", ") + words(host, "genus");
    if (const auto weight = number(host, "weight")) text += fmt::format(" {}", *weight);
  }
  page.title("Hosts, 1 for the best").wrap(text, 2, 0);
  if (!words(answer, "host_note").empty()) page.wrap(words(answer, "host_note"), 2, 0);
}

void provenance(Page& page, const Json& answer) {
  const Json& its = part(answer, "provenance");
  if (its.is_object())
    page.title(fmt::format("What this rests on: {} values", whole(its, "values")))
        .wrap(fmt::format("{} cited, {} from memory, {} assumed, {} common practice; sources disagree on {}",
                          whole(its, "cited"), whole(its, "memory"), whole(its, "assumption"),
                          whole(its, "common_practice"), whole(its, "disputed")),
              2, 0);
  if (items(answer, "references").empty()) return;
  page.title("Sources, and how far each was checked");
  for (const Json& each : items(answer, "references"))
    page.wrap(
        "[" + words(each, "key") + "] " + words(each, "reference") + " (" + words(each, "checked") + ")", 2,
        2);
}

/// A group is what the species is held to be, never a word about a piece in the hand.
std::string group_words(const Json& species) {
  return words(species, "group") == "edible" ? "taught as edible" : words(species, "group");
}

}  // namespace

std::string say_species_list(const Json& answer, const Units&) {
  Page page;
  page.line(fmt::format("{} profiles", items(answer, "species").size()));
  for (const Json& species : items(answer, "species")) {
    page.line(fmt::format("  {}  {}  {}", words(species, "id"), padded(words(species, "name"), 32),
                          group_words(species)));
    page.wrap(words(species, "vernacular") + "; " + joined(species, "regions") + "; " + months_words(species),
              7, 2);
  }
  return page.closing(answer).text();
}

std::string say_species_show(const Json& answer, const Units&) {
  Page page;
  page.line(words(answer, "id") + " " + words(answer, "name") +
            (words(answer, "vernacular").empty() ? "" : " (" + words(answer, "vernacular") + ")"));
  for (const Json& said : items(answer, "said"))
    if (said.is_string()) page.wrap(said.get<std::string>(), 2, 2);
  page.wrap("Group: " + group_words(answer) + ", " + words(answer, "family") + ", " + words(answer, "order") +
                "; " + joined(answer, "regions"),
            2, 2);
  if (!words(answer, "summary").empty()) page.wrap(words(answer, "summary"), 2, 0);
  page.bullets("Cautions", items(answer, "cautions"));
  danger(page, answer);
  never_settled(page, answer);
  pairs(page, answer);
  say_characters(page, answer);
  hosts(page, answer);
  if (!items(answer, "months").empty()) page.title("Months").wrap(months_words(answer), 2, 0);
  fruiting(page, answer);
  rules(page, answer, "never", "Never");
  take(page, answer);
  rules(page, answer, "harvest", "Gathering");
  rules(page, answer, "kitchen", "Kitchen");
  rules(page, answer, "claims", "Claims and their evidence");
  names(page, answer);
  provenance(page, answer);
  return page.bullets("Notes", items(answer, "notes")).text();
}

}  // namespace stumpwise::cli
