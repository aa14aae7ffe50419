#include <fmt/format.h>

#include <map>

#include "say.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

/// Of 100 values, without a sign: no share may stand beside a food word that looks like a chance.
std::string share(const Json& row, const char* key) {
  const long long all = whole(row, "values");
  return all == 0
             ? "-"
             : fmt::format("{:.0f}", 100.0 * static_cast<double>(whole(row, key)) / static_cast<double>(all));
}

void groups(Page& page, const Json& answer) {
  if (items(answer, "groups").empty()) return;
  page.title("How complete, and what each 100 values rest on");
  page.line(fmt::format("  {:<12}{:>5}{:>7}{:>12}{:>7}{:>8}{:>9}{:>9}{:>10}", "group", "", "mean", "fewest",
                        "", "", "common", "", "sources"));
  page.line(fmt::format("  {:<12}{:>5}{:>7}{:>12}{:>7}{:>8}{:>9}{:>9}{:>10}", "", "taxa", "chars", "chars",
                        "cited", "memory", "practice", "assumed", "disagree"));
  for (const Json& row : items(answer, "groups"))
    page.line(
        fmt::format("  {:<12}{:>5}{:>7.1f}{:>12}{:>7}{:>8}{:>9}{:>9}{:>10}", words(row, "group"),
                    whole(row, "profiles"), number(row, "characters_mean").value_or(0),
                    fmt::format("{} ({})", whole(row, "characters_least"), words(row, "characters_least_id")),
                    share(row, "cited"), share(row, "memory"), share(row, "common_practice"),
                    share(row, "assumption"), share(row, "disputed")));
  page.title("Pairs with doubles, seen from each group");
  for (const Json& row : items(answer, "groups"))
    page.line(fmt::format("  {:<12}{:>5} open{:>6} blocked", words(row, "group"), whole(row, "open_pairs"),
                          whole(row, "blocked_pairs")));
}

void dangers(Page& page, const Json& answer) {
  const Json& its = part(answer, "dangers");
  if (!its.is_object()) return;
  page.title("Read in a source, an abstract or a page that quotes it");
  page.wrap(fmt::format("{} of {} values of dangers by which an open pair tells them apart",
                        whole(its, "separating_checked"), whole(its, "separating")),
            2, 2);
  page.wrap(fmt::format("{} of {} onset ranges of the syndromes", whole(its, "onsets_checked"),
                        whole(its, "onsets")),
            2, 2);
}

/// The shut names, those with the same keepers together.
void shut(Page& page, const Json& answer) {
  const Json& names = items(answer, "never_above_candidate");
  const std::string covered = joined(answer, "covered_regions");
  if (names.empty()) return;
  if (covered.empty()) {
    page.title("No region is covered: the gate is shut for every name");
  } else {
    page.title(fmt::format("{} never above candidate in {}, and the dangers that keep them shut",
                           counted(static_cast<long long>(names.size()), "name"), covered));
  }
  for (const Json& name : names) {
    std::map<std::string, std::string> regions_by_keepers;
    for (const Json& region : items(name, "regions")) {
      std::string& regions = regions_by_keepers[joined(region, "shut_by", " ")];
      regions += (regions.empty() ? "" : ", ") + words(region, "region");
    }
    std::string text = words(name, "id") + " " + words(name, "name");
    if (yes(name, "without_must_see")) text += "; no must-sees";
    if (regions_by_keepers.empty() && !covered.empty()) text += "; grows in no covered region";
    for (const auto& [keepers, regions] : regions_by_keepers)
      if (!keepers.empty()) text += "; " + regions + ": " + keepers;
    if (!covered.empty()) page.wrap(text, 2, 2);
  }
}

/// Warnings in words, at most so many that the page stays one.
void warnings(Page& page, const Json& answer) {
  constexpr std::size_t kMost = 20;
  const Json& all = items(answer, "warnings");
  Json first = Json::array();
  for (std::size_t i = 0; i < all.size() && i < kMost; ++i) first.push_back(all[i]);
  page.bullets("Warnings", first);
  if (all.size() > kMost) page.wrap(fmt::format("... and {} more with --json", all.size() - kMost), 2, 2);
  if (const auto remarks = items(answer, "remarks").size())
    page.title(counted(static_cast<long long>(remarks), "remark") + " on blocked pairs with --json");
}

}  // namespace

std::string say_species_check(const Json& answer, const Units&) {
  Page page;
  page.line(yes(answer, "ok") ? "The profiles hold no fault." : "The profiles hold faults:");
  if (answer.contains("profiles"))
    page.line(fmt::format("  {}, {}, {}: {} blocked, {} pending",
                          counted(whole(answer, "profiles"), "profile"),
                          counted(whole(answer, "values"), "value"), counted(whole(answer, "pairs"), "pair"),
                          whole(answer, "blocked_pairs"), whole(answer, "pending_pairs")));
  else
    page.line("  How complete they are is counted when these are mended.");
  groups(page, answer);
  dangers(page, answer);
  shut(page, answer);
  page.bullets("Faults", items(answer, "issues"));
  warnings(page, answer);
  return page.closing(answer).text();
}

}  // namespace stumpwise::cli
