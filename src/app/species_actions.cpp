#include <fmt/format.h>

#include <algorithm>

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

Json summary(const species::Profile& profile) {
  return {{"id", profile.id},
          {"name", profile.name()},
          {"vernacular", profile.vernacular()},
          {"group", species::group_name(profile.group)},
          {"family", profile.family},
          {"regions", profile.regions},
          {"months", profile.months},
          {"summary", profile.summary}};
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

Json characters_json(const species::Profile& profile) {
  Json characters = Json::object();
  for (const auto& [id, value] : profile.characters) {
    Json each = {{"states", value.states}, {"source", value.source}, {"disputed", value.disputed}};
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
  Json list = Json::array();
  for (const species::Profile& profile : library.profiles())
    if (passes(profile, filter, regions)) list.push_back(summary(profile));
  return with_cautions({{"species", list}}, caution::cautions_for(caution::Place::species));
}

Json species_show(Session& session, const std::string& name) {
  const species::Library& library = session.library();
  std::vector<std::string> said;
  const species::Profile& profile = library.require(name, &said);
  Json result = summary(profile);
  Json names = Json::array(), hosts = Json::array();
  for (const species::Name& each : profile.names)
    names.push_back({{"name", each.text},
                     {"authorship", each.authorship},
                     {"status", each.status},
                     {"year", each.year ? Json(each.year) : Json()},
                     {"source", each.source}});
  for (const species::HostWeight& host : profile.hosts)
    hosts.push_back({{"genus", host.genus}, {"weight", host.weight}, {"source", host.source}});
  result["said"] = said;
  result["names"] = names;
  result["order"] = profile.order;
  result["treatment_date"] = profile.treatment_date;
  result["hosts"] = hosts;
  result["host_note"] = profile.host_note;
  result["characters"] = characters_json(profile);
  for (const auto& [id, key] : {std::pair{"C32.length", "spore_length"}, {"C32.width", "spore_width"}}) {
    const auto found = profile.characters.find(id);
    result[key] =
        found != profile.characters.end() && found->second.range ? range_json(*found->second.range) : Json();
  }
  result["must_see"] = profile.must_see;
  result["pairs"] = pairs_json(library, profile);
  result["danger"] = danger_json(library, profile);
  result["also_dangers"] = profile.also_dangers;
  result["never"] = rules_json(profile.never);
  result["harvest"] = rules_json(profile.harvest);
  result["kitchen"] = rules_json(profile.kitchen);
  result["claims"] = rules_json(profile.claims);
  result["guild"] = profile.triggers.guild;
  result["default_guild"] = profile.triggers.default_guild;
  Cautions cautions(caution::Place::species);
  for (const std::string& id : profile.cautions) cautions.add(id);
  return with_cautions(std::move(result), cautions.list());
}

Json species_check(Session& session) {
  (void)session;
  auto parsed = species::Library::read(base::data_folder());
  std::vector<base::Issue> issues = parsed.issues;
  Json result;
  if (parsed.ok()) {
    const auto more = species::check_library(parsed.value);
    issues.insert(issues.end(), more.begin(), more.end());
    const species::Provenance p = species::provenance(parsed.value);
    result = {{"profiles", p.profiles},
              {"values", p.values},
              {"cited", p.cited},
              {"memory", p.memory},
              {"assumption", p.assumption},
              {"common_practice", p.common_practice},
              {"disputed", p.disputed},
              {"pairs", p.pairs},
              {"blocked_pairs", p.blocked_pairs},
              {"pending_pairs", p.pending_pairs},
              {"never_above_candidate", p.never_above_candidate}};
  }
  result["ok"] = !base::has_fault(issues);
  result["issues"] = to_json(issues);
  return result;
}

}  // namespace stumpwise::app
