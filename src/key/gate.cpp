#include "stumpwise/key/gate.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "stumpwise/base/text.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {
namespace {

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

const species::CharacterValue* value_of(const species::Profile& profile, const std::string& id) {
  const auto found = profile.characters.find(id);
  return found == profile.characters.end() ? nullptr : &found->second;
}

const Observation* reading_of(const std::vector<Observation>& readings, const std::string& id) {
  for (const Observation& reading : readings)
    if (reading.character == id) return &reading;
  return nullptr;
}

bool any_among(const std::vector<std::string>& states, const std::vector<std::string>& list) {
  return std::any_of(states.begin(), states.end(), [&](const std::string& s) { return among(list, s); });
}

/// G4: an absent stain does not count on a body that is over-mature or was frozen. That its age was read at
/// all is asked of the whole gate (hold_stains): so no reading of the age can make a verdict on a danger
/// better.
bool stale(const std::vector<Observation>& readings) {
  const Observation* age = reading_of(readings, "C44");
  return age && any_among(age->states, {"over", "frost-thawed"});
}

/// G3. Empty: the group counts.
std::string group_objection(const species::Character& row, const species::Profile& danger,
                            const Observation& reading) {
  const std::string& group = row.evidence_group;
  if (group == "CO") return "colour never counts (G3)";
  if (group == "SZ") return "size, age and season never count (G3)";
  if (group == "OD") return "smell and taste never count (G3)";
  if (group == "HB" && danger.danger && among({"AMA", "ORE", "GYR", "ANL"}, danger.danger->syndrome))
    return "habit does not count against " + danger.danger->syndrome + " (G3)";
  if (group == "SU" && !reading.dug && !reading.cut) return "counts only when dug or cut (G3)";
  return "";
}

/// G4. Empty: it counts.
std::string absence_objection(const species::Character& row, const Observation& reading,
                              const std::vector<Observation>& readings) {
  if (any_among(reading.states, row.perishable)) return "an absence that rain or age can make (G4)";
  if (!any_among(reading.states, row.timed)) return "";
  if (!reading.watched_s || *reading.watched_s < 300)
    return "no change counts only when watched for five minutes: give the seconds (G4)";
  if (stale(readings)) return "no change counts only on a fresh body that is not over-mature (G4)";
  return "";
}

}  // namespace

/// One name against one danger after another.
class Judge {
 public:
  Judge(const Gate& gate, const species::Profile& name, const std::vector<Observation>& readings)
      : gate_(gate),
        library_(gate.library()),
        name_(name),
        readings_(readings),
        evidence_(evidence_of(gate.library(), readings, Experience::novice)) {}

  DangerVerdict judge(const species::Profile& danger) const {
    DangerVerdict verdict;
    verdict.id = danger.id, verdict.name = danger.name();
    const species::Pair* pair = pair_with(danger.id);
    verdict.listed = pair != nullptr;
    verdict.llr = gate_.log_likelihood_ratio(name_, danger, evidence_);
    settle(danger, pair, verdict);
    if (pair) hold_named(danger, *pair, verdict);
    if (pair && (pair->blocked || pair->pending)) {
      verdict.blocked = true;
      verdict.missing.clear();
      verdict.reasons.insert(verdict.reasons.begin(), "stays shut (G8): " + pair->why);
    }
    if (verdict.llr < kGateThreshold)
      verdict.reasons.push_back(
          fmt::format("the readings speak {:.1f} for the name against it, {:.1f} are needed (G6)",
                      std::floor(verdict.llr * 10) / 10, kGateThreshold));
    verdict.defeated =
        verdict.settled && verdict.against.empty() && !verdict.blocked && verdict.llr >= kGateThreshold;
    return verdict;
  }

 private:
  const species::Pair* pair_with(const std::string& id) const {
    for (const species::Pair& pair : name_.pairs)
      if (pair.with == id) return &pair;
    return nullptr;
  }

  /// G2: two characters of different groups, for a listed pair among those named.
  void settle(const species::Profile& danger, const species::Pair* pair, DangerVerdict& verdict) const {
    for (const Observation& reading : readings_) {
      if (pair && !among(pair->characters, reading.character)) continue;
      const Contradiction answer = contradicts(library_, reading, danger, readings_);
      if (!answer.why_not.empty()) verdict.reasons.push_back(reading.character + ": " + answer.why_not);
      if (!answer.counts) continue;
      verdict.contradicted_by.push_back(reading.character);
      const std::string& group = library_.character(reading.character)->evidence_group;
      if (!among(verdict.groups, group)) verdict.groups.push_back(group);
    }
    verdict.settled = verdict.groups.size() >= 2;
    if (verdict.settled) {
      if (verdict.llr < kGateThreshold) weigh_more(danger, pair, verdict);
      return;
    }
    const std::vector<std::string> candidates =
        pair ? pair->characters : species::separating_characters(library_, name_, danger);
    for (const std::string& id : candidates)
      if (!among(verdict.contradicted_by, id) &&
          !among(verdict.groups, library_.character(id)->evidence_group))
        verdict.missing.push_back(id);
    verdict.reasons.push_back(
        fmt::format("{} of 2 evidence groups contradict it (G2)", verdict.groups.size()));
  }

  /// Where only G6 is open: what has not been read and would part the two.
  void weigh_more(const species::Profile& danger, const species::Pair* pair, DangerVerdict& verdict) const {
    const std::vector<std::string> candidates =
        pair ? pair->characters : species::separating_characters(library_, name_, danger);
    for (const std::string& id : candidates)
      if (!reading_of(readings_, id)) verdict.missing.push_back(id);
  }

  /// G5: no named character may be unsure or support the danger.
  void hold_named(const species::Profile& danger, const species::Pair& pair, DangerVerdict& verdict) const {
    for (const std::string& id : pair.characters) {
      const Observation* reading = reading_of(readings_, id);
      if (!reading) continue;
      const species::CharacterValue *own = value_of(name_, id), *its = value_of(danger, id);
      if (unsure(*reading)) {
        verdict.against.push_back(id);
        verdict.reasons.push_back(id + " was read as unsure (G5)");
      } else if (own && its && !outside(*reading, *its) && outside(*reading, *own)) {
        verdict.against.push_back(id);
        verdict.reasons.push_back(id + " speaks for it (G5)");
      }
    }
  }

  const Gate& gate_;
  const species::Library& library_;
  const species::Profile& name_;
  const std::vector<Observation>& readings_;
  std::vector<Evidence> evidence_;
};

namespace {

void check_coverage(const species::Library& library, const std::vector<std::string>& regions,
                    GateResult& result) {
  result.covered = !regions.empty();
  if (regions.empty())
    result.reasons.push_back(
        "the place is not known, and the book does not know the dangers of every region: say the region "
        "(G1)");
  for (const species::Region& region : library.regions())
    if (among(regions, region.code) && !region.dangers_covered) {
      result.covered = false;
      result.reasons.push_back("the book does not know the dangers of " + region.name +
                               " (G1): " + region.note);
    }
}

/// G7.
void check_must_see(const species::Library& library, const species::Profile& name,
                    const std::vector<Observation>& readings, GateResult& result) {
  if (name.must_see.empty())
    result.reasons.push_back("the profile names no characters that must be seen (G7)");
  for (const std::string& id : name.must_see) {
    const Observation* reading = reading_of(readings, id);
    const species::CharacterValue* own = value_of(name, id);
    if (!reading)
      result.must_see_missing.push_back(id);
    else if (!own || !within(*reading, *own))
      result.must_see_contrary.push_back(id);
  }
  bool hymenophore = false, base_or_flesh = false, spores = false;
  for (const Observation& reading : readings) {
    const species::Character* row = library.character(reading.character);
    if (!row) continue;
    hymenophore |= row->evidence_group == "HY";
    spores |= row->evidence_group == "SP";
    base_or_flesh |= row->evidence_group == "FL" || (row->evidence_group == "ST" && reading.dug);
  }
  if (!hymenophore) result.reasons.push_back("nothing was read of the underside (G7)");
  if (!base_or_flesh) result.reasons.push_back("neither the flesh nor a dug base was read (G7)");
  if (!spores) result.reasons.push_back("nothing was read of the spores (G7)");
  if (!result.must_see_missing.empty())
    result.reasons.push_back("not observed: " + base::join(result.must_see_missing, ", ") + " (G7)");
  if (!result.must_see_contrary.empty())
    result.reasons.push_back("not as the name has them: " + base::join(result.must_see_contrary, ", ") +
                             " (G7)");
}

/// G4: where a danger is settled by absent stains alone, the age of the body must have been read.
void hold_stains(const species::Library& library, const std::vector<Observation>& readings,
                 GateResult& result) {
  if (reading_of(readings, "C44")) return;
  for (const DangerVerdict& verdict : result.defeated) {
    std::set<std::string> groups;
    for (const std::string& id : verdict.contradicted_by)
      if (!any_among(reading_of(readings, id)->states, library.character(id)->timed))
        groups.insert(library.character(id)->evidence_group);
    if (groups.size() >= 2) continue;
    result.age_wanted = true;
    result.reasons.push_back(
        "that nothing changed colour counts only on a fresh body: read its age, C44 (G4)");
    return;
  }
}

}  // namespace

bool deadly(const species::Library& library, const std::string& id) {
  const species::Profile* danger = library.find(id);
  return danger && danger->danger &&
         among({"AMA", "ORE", "GYR", "ANL", "MUS", "PAX", "RHA", "PLE"}, danger->danger->syndrome);
}

bool in_closure(const species::Profile& danger, const std::vector<std::string>& regions) {
  if (danger.group != species::Group::dangerous) return false;
  return regions.empty() || any_among(danger.regions, regions);
}

Contradiction contradicts(const species::Library& library, const Observation& reading,
                          const species::Profile& danger, const std::vector<Observation>& readings) {
  const species::Character* row = library.character(reading.character);
  const species::CharacterValue* its = value_of(danger, reading.character);
  if (!row || !its || !applies(*row, readings) || !outside(reading, *its)) return {};
  for (const std::string& objection :
       {group_objection(*row, danger, reading), absence_objection(*row, reading, readings)})
    if (!objection.empty()) return {false, objection};
  return {true, ""};
}

Gate::Gate(const species::Library& library) : library_(library), matrix_(profile_matrix(library)) {}

GateResult Gate::judge(const species::Profile& name, const std::vector<Observation>& readings,
                       const std::vector<std::string>& regions) const {
  GateResult result;
  check_coverage(library_, regions, result);
  check_must_see(library_, name, readings, result);
  if (name.group != species::Group::edible && name.group != species::Group::conditional)
    result.reasons.push_back(name.name() + " is no taxon that is gathered");
  const Judge one(*this, name, readings);
  for (const species::Profile& danger : library_.profiles()) {
    if (!in_closure(danger, regions) || danger.id == name.id) continue;
    DangerVerdict verdict = one.judge(danger);
    (verdict.defeated ? result.defeated : result.undefeated).push_back(std::move(verdict));
  }
  hold_stains(library_, readings, result);
  if (result.defeated.empty() && result.undefeated.empty())
    result.reasons.push_back("no danger is known for this region, which no region is without (G1)");
  std::stable_sort(result.undefeated.begin(), result.undefeated.end(),
                   [&](const DangerVerdict& a, const DangerVerdict& b) {
                     return std::pair(!a.listed, !deadly(library_, a.id)) <
                            std::pair(!b.listed, !deadly(library_, b.id));
                   });
  result.open = result.reasons.empty() && result.undefeated.empty();
  return result;
}

GateResult Gate::without_name(const std::vector<std::string>& regions) const {
  GateResult result;
  check_coverage(library_, regions, result);
  result.reasons.push_back("nothing can be named yet");
  for (const species::Profile& danger : library_.profiles()) {
    if (!in_closure(danger, regions)) continue;
    DangerVerdict verdict;
    verdict.id = danger.id, verdict.name = danger.name();
    result.undefeated.push_back(std::move(verdict));
  }
  std::stable_sort(result.undefeated.begin(), result.undefeated.end(), [&](const auto& a, const auto& b) {
    return deadly(library_, a.id) > deadly(library_, b.id);
  });
  return result;
}

}  // namespace stumpwise::key
