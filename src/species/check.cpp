#include <algorithm>
#include <cmath>
#include <set>

#include "check_readings.h"
#include "fold.h"
#include "section.h"
#include "stumpwise/base/text.h"
#include "stumpwise/species/library.h"

namespace stumpwise::species {

namespace {

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

bool gathered(const Profile& profile) {
  return profile.group == Group::edible || profile.group == Group::conditional;
}

/// G3: colour, size and smell never count toward the two; habit does not against the dangers of liver, kidney
/// and nerves.
bool counts_for_gate(const Character& row, const Profile& danger) {
  if (row.evidence_group == "CO" || row.evidence_group == "SZ" || row.evidence_group == "OD") return false;
  if (row.evidence_group != "HB") return true;
  return !danger.danger || !among({"AMA", "ORE", "GYR", "ANL"}, danger.danger->syndrome);
}

const CharacterValue* value_of(const Profile& profile, const std::string& id) {
  const auto found = profile.characters.find(id);
  return found == profile.characters.end() ? nullptr : &found->second;
}

/// Some reading inside the name's own states lies wholly outside the danger's (G2), and is no perishable
/// absence (G4).
bool separates(const Character& row, const CharacterValue& name, const CharacterValue& danger) {
  if (row.limits) {
    if (!name.range || !danger.range) return false;
    const double middle = 0.5 * (name.range->usual_min + name.range->usual_max);
    return middle < danger.range->min || middle > danger.range->max;
  }
  return std::any_of(name.states.begin(), name.states.end(), [&](const std::string& state) {
    return !among(danger.states, state) && !among(row.perishable, state);
  });
}

class Checker {
 public:
  explicit Checker(const Library& library) : library_(library) {}
  std::vector<Issue> run() {
    for (const Profile& profile : library_.profiles()) {
      check_group(profile);
      check_must_see(profile);
      check_numbers(profile);
      check_season(profile);
      for (const Pair& pair : profile.pairs) check_pair(profile, pair);
    }
    check_names();
    check_closure();
    check_regions();
    for (Issue& issue : check_readings(library_)) issues_.push_back(std::move(issue));
    return std::move(issues_);
  }

 private:
  void say(Severity severity, const Profile& profile, const std::string& field, const std::string& text) {
    const auto line = profile.lines.find(field);
    issues_.push_back({severity, profile.file, line == profile.lines.end() ? 0 : line->second, field, text});
  }
  void fault(const Profile& profile, const std::string& field, const std::string& text) {
    say(Severity::fault, profile, field, text);
  }

  void check_group(const Profile& profile) {
    const bool dangerous = profile.group == Group::dangerous;
    if (dangerous != (profile.id[0] == 'X'))
      fault(profile, "group",
            dangerous ? "is dangerous, then the id begins with X" : "an id with X is always dangerous");
    if (dangerous && !profile.danger)
      fault(profile, "danger", "is missing: a dangerous taxon has a [danger] table");
    if (!dangerous && profile.danger)
      fault(profile, "danger", "only dangerous taxa have a [danger] table; use also_dangers");
    if (dangerous && profile.never.empty())
      fault(profile, "never", "is missing: a dangerous taxon says that it is never food");
    if (gathered(profile) && profile.kitchen.empty())
      fault(profile, "kitchen", "is missing: what is gathered says how it is cooked");
    if (gathered(profile) && !profile.take)
      fault(profile, "take", "is missing: what is gathered says in numbers what is taken and how it is kept");
    if (!gathered(profile) && profile.take) fault(profile, "take", "belongs to what is gathered only");
    const std::size_t wanted = gathered(profile) ? 20 : dangerous ? 16 : 8;
    if (profile.characters.size() < wanted)
      say(Severity::warning, profile, "characters",
          std::to_string(profile.characters.size()) + " characters are stated, " + std::to_string(wanted) +
              " are wanted");
  }

  void check_must_see(const Profile& profile) {
    if (!gathered(profile)) return;
    if (profile.must_see.empty()) {
      fault(profile, "must_see",
            "is missing: without must-see characters the name never rises above candidate (G7)");
      return;
    }
    std::set<std::string> groups;
    for (const std::string& id : profile.must_see) {
      const Character* row = library_.character(id);
      if (!row || !value_of(profile, id)) {
        fault(profile, "must_see",
              row ? id + " is not stated under [characters]" : id + " is not in profiles/characters.toml");
        continue;
      }
      groups.insert(row->evidence_group);
    }
    if (!groups.count("HY")) fault(profile, "must_see", "holds no reading from HY, the underside (G7)");
    if (!groups.count("ST") && !groups.count("FL"))
      fault(profile, "must_see", "holds no reading from ST or FL, stipe or flesh (G7)");
    if (!groups.count("SP")) fault(profile, "must_see", "holds no reading from SP, the spores (G7)");
  }

  /// Length, width and quotient of the spores must fit one another.
  void check_numbers(const Profile& profile) {
    const CharacterValue *length = value_of(profile, "C32.length"), *width = value_of(profile, "C32.width"),
                         *q = value_of(profile, "C32.q");
    if (!length || !width || !q || !length->range || !width->range || !q->range) return;
    const double least = length->range->min / width->range->max,
                 most = length->range->max / width->range->min;
    const double middle = 0.5 * (q->range->usual_min + q->range->usual_max);
    if (middle < least || middle > most)
      fault(profile, "characters.C32.q",
            "does not fit length and width: they allow " + plain_number(least) + " to " + plain_number(most) +
                ", its middle is " + plain_number(middle));
  }

  void check_season(const Profile& profile) {
    static constexpr int kLastDay[] = {31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};
    for (const SeasonMode& mode : profile.triggers.season) {
      int month = 1;
      while (month < 12 && mode.peak_day > kLastDay[month - 1]) ++month;
      if (std::find(profile.months.begin(), profile.months.end(), month) == profile.months.end())
        fault(profile, "months", "lack month " + std::to_string(month) + ", in which the season has a peak");
    }
  }

  void check_pair(const Profile& profile, const Pair& pair) {
    const std::string field = "pair." + pair.with;
    const Profile* other = library_.find(pair.with);
    if (!other) {
      if (!pair.pending) fault(profile, field, pair.with + " has no profile: mark the pair pending = true");
      return;
    }
    if (pair.pending) fault(profile, field, pair.with + " has a profile: the pair is pending no longer");
    const auto back = std::find_if(other->pairs.begin(), other->pairs.end(),
                                   [&](const Pair& candidate) { return candidate.with == profile.id; });
    if (back == other->pairs.end()) {
      fault(profile, field, other->file + " has no pair with " + profile.id + ": pairs stand on both sides");
      return;
    }
    const std::set<std::string> here(pair.characters.begin(), pair.characters.end()),
        there(back->characters.begin(), back->characters.end());
    if (here != there) fault(profile, field, "names other characters than the same pair in " + other->file);
    if (pair.blocked != back->blocked)
      fault(profile, field, "is blocked on one side only, see " + other->file);
    if (gathered(profile) && other->group == Group::dangerous) check_separation(profile, pair, *other, field);
  }

  void check_separation(const Profile& name, const Pair& pair, const Profile& danger,
                        const std::string& field) {
    if (pair.blocked) {
      say(Severity::note, name, field, "blocked: " + pair.why);
      return;
    }
    std::set<std::string> groups;
    for (const std::string& id : pair.characters) {
      const Character* row = library_.character(id);
      const CharacterValue *own = value_of(name, id), *its = value_of(danger, id);
      if (!row) {
        fault(name, field, id + " is not in profiles/characters.toml");
      } else if (!own || !its) {
        fault(name, field,
              id + " is not stated by " + (own ? danger.id : name.id) + ", so it separates nothing (G2)");
      } else if (!counts_for_gate(*row, danger)) {
        fault(name, field, id + " is of group " + row->evidence_group + ", which never counts here (G3)");
      } else if (!separates(*row, *own, *its)) {
        fault(name, field,
              id + " does not separate: no reading of " + name.id +
                  " that lasts lies outside the states of " + danger.id + " (G2, G4)");
      } else {
        groups.insert(row->evidence_group);
      }
    }
    if (groups.size() < 2)
      fault(name, field,
            "has separating characters of " + std::to_string(groups.size()) +
                " evidence group(s), two are needed, or blocked = true with the reason (G2)");
  }

  void check_names() {
    std::map<std::string, std::pair<const Profile*, const Name*>> seen;
    for (const Profile& profile : library_.profiles())
      for (const Name& name : profile.names) {
        const auto [place, fresh] = seen.try_emplace(fold_name(name.text), &profile, &name);
        if (fresh) continue;
        const bool same = place->second.first == &profile;
        const bool loose = name.status == "group" || name.status == "vernacular" ||
                           place->second.second->status == "group" ||
                           place->second.second->status == "vernacular";
        say(loose && !same ? Severity::warning : Severity::fault, profile, "name." + name.text,
            "\"" + name.text + "\" is also a name in " + place->second.first->file);
      }
  }

  /// G1: the closure of a name is every danger of its regions, listed as a pair or not.
  void check_closure() {
    for (const Profile& name : library_.profiles()) {
      if (!gathered(name)) continue;
      for (const Profile& danger : library_.profiles()) {
        if (danger.group != Group::dangerous) continue;
        const bool meets = std::any_of(name.regions.begin(), name.regions.end(),
                                       [&](const std::string& code) { return among(danger.regions, code); });
        const bool listed = std::any_of(name.pairs.begin(), name.pairs.end(),
                                        [&](const Pair& pair) { return pair.with == danger.id; });
        if (!meets || listed) continue;
        std::set<std::string> groups;
        for (const std::string& id : separating_characters(library_, name, danger))
          groups.insert(library_.character(id)->evidence_group);
        if (groups.size() < 2)
          say(Severity::warning, name, "characters",
              "cannot be told from " + danger.id + " (" + danger.name() +
                  ") by two evidence groups: the gate stays shut");
      }
    }
  }

  void check_regions() {
    for (const Region& region : library_.regions()) {
      if (!region.dangers_covered) continue;
      const bool any =
          std::any_of(library_.profiles().begin(), library_.profiles().end(), [&](const Profile& profile) {
            return profile.group == Group::dangerous && among(profile.regions, region.code);
          });
      if (!any)
        issues_.push_back({Severity::fault, "profiles/regions.toml", 0, region.code,
                           "claims that its dangers are covered, but no dangerous profile names it"});
    }
  }

  const Library& library_;
  std::vector<Issue> issues_;
};

}  // namespace

std::vector<std::string> separating_characters(const Library& library, const Profile& name,
                                               const Profile& danger) {
  std::vector<std::string> list;
  for (const auto& [id, value] : name.characters) {
    const Character* row = library.character(id);
    const CharacterValue* its = value_of(danger, id);
    if (row && its && counts_for_gate(*row, danger) && separates(*row, value, *its)) list.push_back(id);
  }
  return list;
}

std::vector<Issue> check_library(const Library& library) {
  return Checker(library).run();
}

}  // namespace stumpwise::species
