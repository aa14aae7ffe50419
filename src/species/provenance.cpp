#include <algorithm>
#include <set>

#include "stumpwise/species/library.h"

namespace stumpwise::species {

namespace {

void count(Provenance& sum, const std::string& source, bool disputed = false) {
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

void count_profile(Provenance& sum, const Profile& profile) {
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
}

}  // namespace

Provenance provenance(const Library& library) {
  Provenance sum;
  std::set<std::pair<std::string, std::string>> seen;
  for (const Profile& profile : library.profiles()) {
    ++sum.profiles;
    count_profile(sum, profile);
    const bool gathered = profile.group == Group::edible || profile.group == Group::conditional;
    bool shut = profile.must_see.empty();
    for (const Pair& pair : profile.pairs) {
      shut = shut || pair.blocked || pair.pending;
      if (!seen.insert(std::minmax(profile.id, pair.with)).second) continue;
      ++sum.pairs;
      if (pair.blocked) ++sum.blocked_pairs;
      if (pair.pending) ++sum.pending_pairs;
    }
    if (gathered && shut) sum.never_above_candidate.push_back(profile.id);
  }
  return sum;
}

}  // namespace stumpwise::species
