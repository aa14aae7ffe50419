#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::app {
namespace {

Json range_json(const species::NumericRange& range) {
  return {{"min", range.min},
          {"usual_min", range.usual_min},
          {"usual_max", range.usual_max},
          {"max", range.max},
          {"unit", range.unit}};
}

Json character_range(const species::Profile& profile, const char* id) {
  const auto found = profile.characters.find(id);
  return found != profile.characters.end() && found->second.range ? range_json(*found->second.range) : Json();
}

Json summary(const species::Profile& profile) {
  return {{"id", profile.id},
          {"name", profile.name()},
          {"vernacular", profile.vernacular()},
          {"group", species::group_name(profile.group)},
          {"family", profile.family},
          {"regions", profile.regions},
          {"months", profile.months},
          {"spore_length", character_range(profile, "C32.length")},
          {"spore_width", character_range(profile, "C32.width")},
          {"summary", profile.summary}};
}

/// Error(bad_usage) with the nearest genera where no profile names the host.
void require_host(const species::Library& library, const std::string& genus) {
  std::vector<std::string> known;
  for (const species::Profile& profile : library.profiles())
    for (const species::HostWeight& host : profile.hosts) {
      if (base::lower(host.genus) == base::lower(genus)) return;
      if (std::find(known.begin(), known.end(), host.genus) == known.end()) known.push_back(host.genus);
    }
  const auto near = base::nearest(genus, known, 4);
  throw Error(ErrorCode::bad_usage, "--host \"" + base::printable(genus) + "\": no profile names this genus",
              (near.empty() ? "" : "Nearest: " + base::join(near, ", ") + ". ") +
                  "A host is a genus, for example Ulmus.");
}

bool passes(const species::Profile& profile, const SpeciesFilter& filter,
            const std::vector<std::string>& regions) {
  if (filter.month &&
      std::find(profile.months.begin(), profile.months.end(), *filter.month) == profile.months.end())
    return false;
  if (!filter.group.empty() && species::group_name(profile.group) != filter.group) return false;
  if (!regions.empty() &&
      std::none_of(profile.regions.begin(), profile.regions.end(), [&](const std::string& code) {
        return std::find(regions.begin(), regions.end(), code) != regions.end();
      }))
    return false;
  if (!filter.host.empty() &&
      std::none_of(profile.hosts.begin(), profile.hosts.end(), [&](const species::HostWeight& host) {
        return base::lower(host.genus) == base::lower(filter.host);
      }))
    return false;
  return true;
}

Json rules_json(const std::vector<species::Rule>& rules) {
  Json list = Json::array();
  for (const auto& rule : rules)
    list.push_back({{"id", rule.id}, {"text", rule.text}, {"source", rule.source}});
  return list;
}

/// `how`: G glance, H handling or cutting, B base dug out, P print overnight, R reagent, M microscope.
Json characters_json(const species::Library& library, const species::Profile& profile) {
  Json characters = Json::object();
  for (const auto& [id, value] : profile.characters) {
    Json each = {{"states", value.states}, {"source", value.source}, {"disputed", value.disputed}};
    if (const species::Character* row = library.character(id)) {
      each["name"] = row->name;
      each["how"] = row->how;
    }
    if (value.range) each["range"] = range_json(*value.range);
    if (!value.note.empty()) each["note"] = value.note;
    characters[id] = each;
  }
  return characters;
}

/// Dangers first, then harmless doubles.
Json pairs_json(const species::Library& library, const species::Profile& profile) {
  Json pairs = Json::array();
  for (const species::Pair& pair : profile.pairs) {
    const species::Profile* other = library.find(pair.with);
    Json each = {{"with", pair.with},
                 {"characters", pair.characters},
                 {"blocked", pair.blocked || pair.pending},
                 {"pending", pair.pending},
                 {"why", pair.why},
                 {"source", pair.source}};
    each["name"] = other ? Json(other->name()) : Json();
    each["danger"] = pair.with.rfind('X', 0) == 0;
    pairs.push_back(each);
  }
  std::stable_sort(pairs.begin(), pairs.end(),
                   [](const Json& a, const Json& b) { return a["danger"] > b["danger"]; });
  return pairs;
}

Json danger_json(const species::Library& library, const species::Profile& profile) {
  if (!profile.danger) return nullptr;
  Json danger = {{"syndrome", profile.danger->syndrome},
                 {"severity", profile.danger->severity},
                 {"cooking", profile.danger->cooking},
                 {"source", profile.danger->source}};
  if (const species::Syndrome* syndrome = library.syndrome(profile.danger->syndrome)) {
    danger["syndrome_name"] = syndrome->name;
    danger["gut_onset_h"] = syndrome->gut_onset_h ? range_json(*syndrome->gut_onset_h) : Json();
    danger["organ_onset_h"] = syndrome->organ_onset_h ? range_json(*syndrome->organ_onset_h) : Json();
    danger["syndrome_note"] = syndrome->note;
  }
  return danger;
}

Json span_json(const std::optional<std::pair<double, double>>& span) {
  return span ? Json{span->first, span->second} : Json();
}

Json take_json(const species::Profile& profile) {
  if (!profile.take) return nullptr;
  const species::Take& take = *profile.take;
  return {{"whole_to_mm", take.whole_to_mm ? Json(*take.whole_to_mm) : Json()},
          {"margin_to_mm", take.margin_to_mm ? Json(*take.margin_to_mm) : Json()},
          {"margin_mm", span_json(take.margin_mm)},
          {"parts", take.parts},
          {"stock_parts", take.stock_parts},
          {"cook_minutes", take.cook_minutes},
          {"freshness", take.freshness},
          {"drying", take.drying},
          {"tender_days", span_json(take.tender_days)},
          {"visible_days", span_json(take.visible_days)},
          {"sources", take.sources}};
}

Json counts_json(const species::SourceCounts& counts) {
  return {{"values", counts.values},
          {"cited", counts.cited},
          {"memory", counts.memory},
          {"assumption", counts.assumption},
          {"common_practice", counts.common_practice},
          {"disputed", counts.disputed}};
}

/// Every "source" of the answer and every value of a "sources" table in it, once, with its reference.
void gather_sources(const Json& part, std::set<std::string>& keys) {
  if (part.is_object()) {
    for (const auto& [key, value] : part.items()) {
      if (key == "source" && value.is_string()) keys.insert(value.get<std::string>());
      if (key == "sources" && value.is_object())
        for (const auto& [field, source] : value.items()) keys.insert(source.get<std::string>());
      gather_sources(value, keys);
    }
  } else if (part.is_array()) {
    for (const Json& each : part) gather_sources(each, keys);
  }
}

Json references_json(const species::Library& library, const Json& answer) {
  std::set<std::string> keys;
  gather_sources(answer, keys);
  Json list = Json::array();
  for (const std::string& key : keys)
    if (const auto found = library.sources().find(key); found != library.sources().end())
      list.push_back({{"key", key}, {"reference", found->second}, {"checked", library.how_checked(key)}});
  return list;
}

Json names_json(const species::Profile& profile) {
  Json names = Json::array();
  for (const species::Name& each : profile.names)
    names.push_back({{"name", each.text},
                     {"authorship", each.authorship},
                     {"status", each.status},
                     {"year", each.year ? Json(each.year) : Json()},
                     {"source", each.source}});
  return names;
}

Json groups_json(const std::vector<species::GroupCompleteness>& groups) {
  Json list = Json::array();
  for (const species::GroupCompleteness& group : groups) {
    Json row = counts_json(group.sources);
    row["group"] = species::group_name(group.group);
    row["profiles"] = group.profiles;
    row["characters_mean"] = rounded(group.mean_characters, 1);
    row["characters_least"] = group.least_characters;
    row["characters_least_id"] = group.least_id;
    row["open_pairs"] = group.open_pairs;
    row["blocked_pairs"] = group.blocked_pairs;
    list.push_back(row);
  }
  return list;
}

Json shut_json(const std::vector<species::ShutName>& names) {
  Json list = Json::array();
  for (const species::ShutName& name : names) {
    Json regions = Json::array();
    for (const species::ShutRegion& each : name.regions)
      regions.push_back({{"region", each.region}, {"shut_by", each.shut_by}});
    list.push_back({{"id", name.id},
                    {"name", name.name},
                    {"without_must_see", name.without_must_see},
                    {"regions", regions}});
  }
  return list;
}

}  // namespace

Json species_list(Session& session, const SpeciesFilter& filter) {
  const species::Library& library = session.library();
  if (filter.month && (*filter.month < 1 || *filter.month > 12))
    throw Error(ErrorCode::bad_usage, fmt::format("--month {}: 1 to 12", *filter.month));
  const auto regions =
      filter.region.empty() ? std::vector<std::string>{} : library.parse_regions(filter.region);
  if (!filter.group.empty() && filter.group != "edible" && filter.group != "conditional" &&
      filter.group != "harmless" && filter.group != "dangerous")
    throw Error(ErrorCode::bad_usage, "--group \"" + base::printable(filter.group) +
                                          "\": edible, conditional, harmless or dangerous");
  if (!filter.host.empty()) require_host(library, filter.host);
  Json list = Json::array();
  for (const species::Profile& profile : library.profiles())
    if (passes(profile, filter, regions)) list.push_back(summary(profile));
  return with_cautions({{"species", list}}, caution::cautions_for(caution::Place::species));
}

namespace {

/// Peaks of the season at 45 degrees north and sea level, as MM-DD.
Json season_json(const species::Triggers& triggers) {
  static constexpr int kDays[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  Json list = Json::array();
  for (const species::SeasonMode& mode : triggers.season) {
    int day = static_cast<int>(mode.peak_day), month = 0;
    while (month < 11 && day > kDays[month]) day -= kDays[month++];
    list.push_back({{"peak", fmt::format("{:02}-{:02}", month + 1, day)},
                    {"spread_days", mode.spread_days},
                    {"weight", mode.weight},
                    {"kind", mode.spring ? "spring" : "autumn"}});
  }
  return list;
}

std::string season_source(const species::Triggers& triggers) {
  const auto found = triggers.sources.find("season");
  return found == triggers.sources.end() ? "assumption" : found->second;
}

}  // namespace

Json species_show(Session& session, const std::string& name) {
  const species::Library& library = session.library();
  std::vector<std::string> said;
  const species::Profile& profile = library.require(name, &said);
  Json result = summary(profile);
  Json hosts = Json::array();
  for (const species::HostWeight& host : profile.hosts)
    hosts.push_back({{"genus", host.genus}, {"weight", host.weight}, {"source", host.source}});
  result["said"] = said;
  result["names"] = names_json(profile);
  result["order"] = profile.order;
  result["treatment_date"] = profile.treatment_date;
  result["hosts"] = hosts;
  result["host_note"] = profile.host_note;
  result["characters"] = characters_json(library, profile);
  result["must_see"] = profile.must_see;
  result["pairs"] = pairs_json(library, profile);
  result["danger"] = danger_json(library, profile);
  result["also_dangers"] = profile.also_dangers;
  result["never"] = rules_json(profile.never);
  result["harvest"] = rules_json(profile.harvest);
  result["take"] = take_json(profile);
  result["kitchen"] = rules_json(profile.kitchen);
  result["claims"] = rules_json(profile.claims);
  result["never_above_candidate"] = Json::array();
  for (const Json& shut : shut_json(species::provenance(library).never_above_candidate))
    if (shut["id"] == profile.id) result["never_above_candidate"] = shut["regions"];
  result["season"] = season_json(profile.triggers);
  result["season_source"] = season_source(profile.triggers);
  result["guild"] = profile.triggers.guild;
  result["default_guild"] = profile.triggers.default_guild;
  result["provenance"] = counts_json(species::source_counts(profile));
  result["references"] = references_json(library, result);
  Cautions cautions(caution::Place::species);
  for (const std::string& id : profile.cautions) cautions.add(id);
  return with_cautions(std::move(result), cautions.list());
}

namespace {

/// Faults that only all files together show are listed beside those of single files; what points to a file
/// that did not load is left out, for it may only be that file's fault.
void add_cross_faults(const species::Library& library, std::vector<base::Issue>& issues) {
  for (const base::Issue& issue : species::check_library(library))
    if (issue.severity == base::Severity::fault && issue.text.find("has no profile") == std::string::npos)
      issues.push_back(issue);
}

}  // namespace

Json species_check(Session& session) {
  (void)session;
  auto parsed = species::Library::read(base::data_folder());
  std::vector<base::Issue> issues = parsed.issues;
  Json result;
  if (parsed.ok()) {
    const auto more = species::check_library(parsed.value);
    issues.insert(issues.end(), more.begin(), more.end());
    const species::Provenance p = species::provenance(parsed.value);
    result = counts_json(p);
    result["profiles"] = p.profiles;
    result["pairs"] = p.pairs;
    result["blocked_pairs"] = p.blocked_pairs;
    result["pending_pairs"] = p.pending_pairs;
    result["groups"] = groups_json(p.groups);
    result["dangers"] = {{"separating", p.dangers.separating},
                         {"separating_checked", p.dangers.separating_checked},
                         {"onsets", p.dangers.onsets},
                         {"onsets_checked", p.dangers.onsets_checked}};
    result["covered_regions"] = Json::array();
    for (const species::Region& region : parsed.value.regions())
      if (region.dangers_covered) result["covered_regions"].push_back(region.code);
    result["never_above_candidate"] = shut_json(p.never_above_candidate);
  } else {
    add_cross_faults(parsed.value, issues);
  }
  result["ok"] = !base::has_fault(issues);
  // Blocked pairs are notes, told by the shut names above; here they are only counted.
  std::map<base::Severity, std::vector<base::Issue>> by_severity;
  for (const base::Issue& issue : issues) by_severity[issue.severity].push_back(issue);
  result["issues"] = to_json(by_severity[base::Severity::fault]);
  result["warnings"] = to_json(by_severity[base::Severity::warning]);
  result["remarks"] = to_json(by_severity[base::Severity::note]);
  return result;
}

}  // namespace stumpwise::app
