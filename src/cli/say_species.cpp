#include <fmt/format.h>

#include <array>

#include "say.h"
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

std::string range_words(const Json& range) {
  if (!range.is_object()) return {};
  const std::string unit = words(range, "unit") == "1" ? "" : " " + words(range, "unit");  // "1": a ratio
  return fmt::format("{} to {}{} (usually {} to {})", number(range, "min").value_or(0),
                     number(range, "max").value_or(0), unit, number(range, "usual_min").value_or(0),
                     number(range, "usual_max").value_or(0));
}

void names(Page& page, const Json& answer) {
  if (items(answer, "names").empty()) return;
  page.title("Names");
  for (const Json& name : items(answer, "names")) {
    std::string text = words(name, "name");
    if (!words(name, "authorship").empty()) text += " " + words(name, "authorship");
    text += " (" + words(name, "status");
    if (const auto year = number(name, "year")) text += fmt::format(", {:.0f}", *year);
    page.wrap("- " + text + ") [" + words(name, "source") + "]", 2, 2);
  }
}

void danger(Page& page, const Json& answer) {
  const Json& its = part(answer, "danger");
  if (!its.is_object()) return;
  page.title("DANGER");
  const std::string name =
      words(its, "syndrome_name").empty() ? words(its, "syndrome") : words(its, "syndrome_name");
  page.wrap(name + ", severity " +
                (words(its, "severity").empty() ? part(its, "severity").dump() : words(its, "severity")) +
                " [" + words(its, "source") + "]",
            2, 2);
  if (part(its, "gut_onset_h").is_object())
    page.wrap("First signs after " + range_words(part(its, "gut_onset_h")), 2, 2);
  if (part(its, "organ_onset_h").is_object())
    page.wrap("Organ damage after " + range_words(part(its, "organ_onset_h")), 2, 2);
  if (!words(its, "syndrome_note").empty()) page.wrap(words(its, "syndrome_note"), 2, 2);
  if (!words(its, "cooking").empty()) page.wrap("Cooking: " + words(its, "cooking"), 2, 2);
}

void pairs(Page& page, const Json& answer) {
  if (items(answer, "pairs").empty()) return;
  page.title("Doubles, dangerous ones first");
  for (const Json& pair : items(answer, "pairs")) {
    const std::string name = words(pair, "name").empty() ? "no profile yet" : words(pair, "name");
    std::string text = words(pair, "with") + " " + name + (yes(pair, "danger") ? " [DANGER]" : "");
    if (!items(pair, "characters").empty()) text += ", told apart by " + joined(pair, "characters");
    if (yes(pair, "pending"))
      text += ". PENDING, counts as blocked";
    else if (yes(pair, "blocked"))
      text += ". BLOCKED: nothing in this book tells them apart with confidence";
    if (!words(pair, "why").empty()) text += ". " + words(pair, "why");
    page.wrap("- " + text + " [" + words(pair, "source") + "]", 2, 2);
  }
}

void characters(Page& page, const Json& answer) {
  const Json& all = part(answer, "characters");
  if (!all.is_object() || all.empty()) return;
  page.title("Characters (must be seen: " + joined(answer, "must_see") + ")");
  for (const auto& [id, value] : all.items()) {
    std::string text = joined(value, "states", " or ");
    for (char& c : text)
      if (c == '_') c = ' ';
    const std::string range = range_words(part(value, "range"));
    if (!range.empty()) text += (text.empty() ? "" : "; ") + range;
    if (!words(value, "note").empty()) text += "; " + words(value, "note");
    if (yes(value, "disputed")) text += "; sources disagree";
    page.wrap(padded(id, 13) + text + " [" + words(value, "source") + "]", 2, 13);
  }
}

void rules(Page& page, const Json& answer, const char* key, const char* heading) {
  if (items(answer, key).empty()) return;
  page.title(heading);
  for (const Json& rule : items(answer, key))
    page.wrap("- " + words(rule, "text") + " [" + words(rule, "source") + "]", 2, 2);
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
  page.wrap("Group: " + group_words(answer) + ", family " + words(answer, "family") + "; " +
                joined(answer, "regions") + "; " + months_words(answer),
            2, 2);
  if (!words(answer, "summary").empty()) page.wrap(words(answer, "summary"), 2, 0);
  danger(page, answer);
  names(page, answer);
  if (!items(answer, "hosts").empty()) {
    std::string hosts;
    for (const Json& host : items(answer, "hosts"))
      hosts += (hosts.empty() ? "" : ", ") + words(host, "genus");
    page.title("Hosts, commonest first").wrap(hosts, 2, 0);
    if (!words(answer, "host_note").empty()) page.wrap(words(answer, "host_note"), 2, 0);
  }
  characters(page, answer);
  const std::string length = range_words(part(answer, "spore_length")),
                    width = range_words(part(answer, "spore_width"));
  if (!length.empty() || !width.empty())
    page.line().wrap("Spores: length " + (length.empty() ? "not known" : length) + ", width " +
                         (width.empty() ? "not known" : width),
                     0, 2);
  pairs(page, answer);
  rules(page, answer, "never", "Never");
  rules(page, answer, "harvest", "Gathering");
  rules(page, answer, "kitchen", "Kitchen");
  rules(page, answer, "claims", "Claims and their evidence");
  return page.closing(answer).text();
}

std::string say_species_check(const Json& answer, const Units&) {
  Page page;
  page.line(yes(answer, "ok") ? "The profiles hold no fault." : "The profiles hold faults:");
  page.line(fmt::format(
      "  {} profiles, {} values: {} cited, {} from memory, {} assumed, {} common practice; {} disputed",
      whole(answer, "profiles"), whole(answer, "values"), whole(answer, "cited"), whole(answer, "memory"),
      whole(answer, "assumption"), whole(answer, "common_practice"), whole(answer, "disputed")));
  page.line(fmt::format("  {} pairs of doubles: {} blocked, {} pending", whole(answer, "pairs"),
                        whole(answer, "blocked_pairs"), whole(answer, "pending_pairs")));
  if (!items(answer, "never_above_candidate").empty())
    page.wrap("Never above candidate: " + joined(answer, "never_above_candidate"), 2, 2);
  return page.bullets("Found", items(answer, "issues")).closing(answer).text();
}

}  // namespace stumpwise::cli
