#include "shut.h"

#include <algorithm>
#include <set>

namespace stumpwise::species {

namespace {

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

/// The gate can never get past `danger`: the pair is blocked (G8), or it is not listed and too little tells
/// the two apart (G2). An open pair is held to two groups by check_library.
bool shuts(const Library& library, const Profile& name, const Profile& danger) {
  for (const Pair& pair : name.pairs)
    if (pair.with == danger.id) return pair.blocked || pair.pending;
  std::set<std::string> groups;
  for (const std::string& id : separating_characters(library, name, danger))
    groups.insert(library.character(id)->evidence_group);
  return groups.size() < 2;
}

}  // namespace

std::vector<ShutName> shut_names(const Library& library) {
  std::vector<ShutName> list;
  for (const Profile& name : library.profiles()) {
    if (name.group != Group::edible && name.group != Group::conditional) continue;
    std::vector<const Profile*> shutting;
    for (const Profile& danger : library.profiles())
      if (danger.group == Group::dangerous && shuts(library, name, danger)) shutting.push_back(&danger);
    ShutName row{name.id, name.name(), name.must_see.empty(), {}};
    bool opens_somewhere = false;
    for (const Region& region : library.regions()) {
      if (!region.dangers_covered || !among(name.regions, region.code)) continue;
      ShutRegion here{region.code, {}};
      for (const Profile* danger : shutting)
        if (among(danger->regions, region.code)) here.shut_by.push_back(danger->id);
      opens_somewhere = opens_somewhere || here.shut_by.empty();
      row.regions.push_back(std::move(here));
    }
    if (row.without_must_see || !opens_somewhere) list.push_back(std::move(row));
  }
  return list;
}

}  // namespace stumpwise::species
