#include <algorithm>
#include <set>

#include "shut.h"
#include "stumpwise/species/library.h"

namespace stumpwise::species {

namespace {

void count(SourceCounts& sum, const std::string& source, bool disputed = false) {
  ++sum.values;
  if (disputed) ++sum.disputed;
  if (source == "memory")
    ++sum.memory;
  else if (source == "assumption" || source == "computed")
    ++sum.assumption;
  else if (source == "common-practice")
    ++sum.common_practice;
  else
    ++sum.cited;
}

void add(SourceCounts& sum, const SourceCounts& more) {
  sum.values += more.values, sum.cited += more.cited, sum.memory += more.memory;
  sum.assumption += more.assumption, sum.common_practice += more.common_practice;
  sum.disputed += more.disputed;
}

GroupCompleteness completeness(const Library& library, Group group) {
  GroupCompleteness sum;
  sum.group = group;
  std::size_t characters = 0;
  for (const Profile& profile : library.profiles()) {
    if (profile.group != group) continue;
    ++sum.profiles;
    add(sum.sources, source_counts(profile));
    characters += profile.characters.size();
    const int own = static_cast<int>(profile.characters.size());
    if (sum.least_id.empty() || own < sum.least_characters)
      sum.least_characters = own, sum.least_id = profile.id;
    for (const Pair& pair : profile.pairs)
      ++(pair.blocked || pair.pending ? sum.blocked_pairs : sum.open_pairs);
  }
  if (sum.profiles) sum.mean_characters = static_cast<double>(characters) / sum.profiles;
  return sum;
}

bool was_read(const Library& library, const std::string& source) {
  const std::string how = library.how_checked(source);
  return how == "excerpt" || how == "abstract";
}

DangerSources danger_sources(const Library& library) {
  DangerSources sum;
  for (const Profile& danger : library.profiles()) {
    if (danger.group != Group::dangerous) continue;
    std::set<std::string> named;
    for (const Pair& pair : danger.pairs)
      if (!pair.blocked && !pair.pending) named.insert(pair.characters.begin(), pair.characters.end());
    for (const std::string& id : named) {
      const auto value = danger.characters.find(id);
      if (value == danger.characters.end()) continue;
      ++sum.separating;
      if (was_read(library, value->second.source)) ++sum.separating_checked;
    }
  }
  for (const Syndrome& syndrome : library.syndromes()) {
    const int ranges = (syndrome.gut_onset_h ? 1 : 0) + (syndrome.organ_onset_h ? 1 : 0);
    sum.onsets += ranges;
    if (was_read(library, syndrome.source)) sum.onsets_checked += ranges;
  }
  return sum;
}

}  // namespace

SourceCounts source_counts(const Profile& profile) {
  SourceCounts sum;
  for (const char* field : {"family", "order", "treatment_date", "regions", "months"}) {
    const auto own = profile.sources.find(field);
    count(sum, own == profile.sources.end() ? "memory" : own->second);
  }
  for (const Name& name : profile.names) count(sum, name.source);
  for (const HostWeight& host : profile.hosts) count(sum, host.source);
  for (const auto& [id, value] : profile.characters) count(sum, value.source, value.disputed);
  for (const Pair& pair : profile.pairs) count(sum, pair.source);
  if (profile.danger) count(sum, profile.danger->source);
  for (const auto* rules : {&profile.harvest, &profile.kitchen, &profile.never, &profile.claims})
    for (const Rule& rule : *rules) count(sum, rule.source);
  if (profile.take)
    for (const auto& [field, source] : profile.take->sources) count(sum, source);
  for (const auto& [field, source] : profile.triggers.sources) count(sum, source);
  for (const auto& [field, source] : profile.ground.sources) count(sum, source);
  return sum;
}

Provenance provenance(const Library& library) {
  Provenance sum;
  for (Group group : {Group::edible, Group::conditional, Group::harmless, Group::dangerous}) {
    sum.groups.push_back(completeness(library, group));
    sum.profiles += sum.groups.back().profiles;
    add(sum, sum.groups.back().sources);
  }
  std::set<std::pair<std::string, std::string>> seen;
  for (const Profile& profile : library.profiles())
    for (const Pair& pair : profile.pairs) {
      if (!seen.insert(std::minmax(profile.id, pair.with)).second) continue;
      ++sum.pairs;
      if (pair.blocked) ++sum.blocked_pairs;
      if (pair.pending) ++sum.pending_pairs;
    }
  sum.dangers = danger_sources(library);
  sum.never_above_candidate = shut_names(library);
  return sum;
}

}  // namespace stumpwise::species
