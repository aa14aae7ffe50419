#include "stumpwise/key/advice.h"

#include <fmt/format.h>

#include <algorithm>

#include "stumpwise/base/text.h"
#include "stumpwise/key/profile_matrix.h"

namespace stumpwise::key {
namespace {

constexpr double kListed = 1, kOther = 0.1, kDeadly = 2, kMustSee = 0.5;

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

/// Spores are taken from a print.
bool from_print(const species::Character& row) {
  return row.how.find('M') != std::string::npos && row.evidence_group == "SP" && row.id != "C33.ascus" &&
         row.part_of != "C35";
}

std::string minutes_text(double minutes) {
  if (minutes >= 240) return "a print takes 4 to 24 hours";
  if (minutes < 0.75) return "half a minute";
  if (minutes < 1.5) return "about one minute";
  return fmt::format("about {:.0f} minutes", minutes);
}

}  // namespace

Adviser::Adviser(const Gate& gate, const Chooser& chooser, const Question& question,
                 const std::vector<double>& shares, const Answer& answer)
    : gate_(gate), chooser_(chooser), question_(question), shares_(shares), answer_(answer) {}

bool Adviser::observed(const std::string& id) const {
  return std::any_of(question_.readings.begin(), question_.readings.end(),
                     [&](const Observation& reading) { return reading.character == id; });
}

/// Of the name's own states, the share that would contradict the danger if read as the rules ask for it.
double Adviser::chance_of_contradiction(const species::Character& row, const species::CharacterValue& own,
                                        const species::Profile& danger) const {
  Observation reading;
  reading.character = row.id;
  reading.dug = reading.cut = true;
  reading.watched_s = 300;
  Observation prime;
  prime.character = "C44", prime.states = {"prime"};
  auto counts = [&] { return contradicts(gate_.library(), reading, danger, {prime}).counts; };
  if (own.range) {
    reading.low = reading.high = 0.5 * (own.range->usual_min + own.range->usual_max);
    return counts() ? 1 : 0;
  }
  int hits = 0;
  for (const std::string& state : own.states) {
    reading.states = {state};
    hits += counts();
  }
  return own.states.empty() ? 0 : hits / static_cast<double>(own.states.size());
}

double Adviser::gate_drop(const species::Character& row, const species::Profile& name, Advice& advice) const {
  const auto own = name.characters.find(row.id);
  if (own == name.characters.end()) return 0;
  double drop = 0;
  for (const DangerVerdict& verdict : answer_.gate.undefeated) {
    // `missing` names what can still settle it, or where only the weight is short (G6) what would add to it.
    if (verdict.blocked || !among(verdict.missing, row.id)) continue;
    const species::Profile& danger = *gate_.library().find(verdict.id);
    const double chance = (1 - row.misread) * chance_of_contradiction(row, own->second, danger);
    if (chance <= 0) continue;
    ++advice.speaks_against;
    if (verdict.groups.size() == 1) ++advice.settles;
    drop += chance * 0.5 * (verdict.listed ? kListed : kOther) *
            (deadly(gate_.library(), danger.id) ? kDeadly : 1);
  }
  return drop;
}

std::string Adviser::why(const species::Character& row, const Advice& advice) const {
  const std::size_t all = answer_.gate.undefeated.size();
  std::string text = fmt::format("{}: {}", row.action, minutes_text(advice.minutes));
  if (advice.minutes >= 240 && row.minutes < 240) text += ", then " + minutes_text(row.minutes);
  if (advice.settles > 0)
    text += fmt::format("; would settle {} of {} dangers", advice.settles, all);
  else if (advice.speaks_against > 0)
    text += fmt::format("; would speak against {} of {} dangers", advice.speaks_against, all);
  else
    text += "; would part the names";
  if (advice.must_see) text += "; must be seen for this name";
  return text;
}

Advice Adviser::advice(const species::Character& row, const Gain& gain) const {
  Advice result;
  result.character = row.id, result.name = row.name, result.action = row.action;
  result.minutes = row.minutes;
  if (from_print(row) && !observed("C31")) result.minutes += gate_.library().character("C31")->minutes;
  result.loss_drop = gain.names + kDangerWeight * gain.danger;
  if (const species::Profile* name = gate_.library().find(answer_.name)) {
    result.loss_drop += gate_drop(row, *name, result);
    result.must_see = among(answer_.gate.must_see_missing, row.id);
    if (row.id == "C44") result.must_see = answer_.gate.age_wanted;  // without it no missing stain counts
    if (result.must_see) result.loss_drop += kMustSee;
  }
  result.why = why(row, result);
  return result;
}

std::vector<Advice> Adviser::list() const {
  const auto& rows = gate_.library().characters();
  std::vector<bool> asked(rows.size());
  for (std::size_t c = 0; c < rows.size(); ++c)
    asked[c] = observed(rows[c].id) || !applies(rows[c], question_.readings) || rows[c].id == "C30" ||
               rows[c].id == "C45";  // tasting is off; the date is known
  const std::vector<Gain> gains = chooser_.gains(shares_, asked);
  std::vector<Advice> list;
  for (std::size_t c = 0; c < rows.size(); ++c)
    if (!asked[c]) list.push_back(advice(rows[c], gains[c]));
  std::erase_if(list, [](const Advice& each) { return each.loss_drop <= 1e-9; });
  std::stable_sort(list.begin(), list.end(), [](const Advice& a, const Advice& b) {
    return a.loss_drop / a.minutes > b.loss_drop / b.minutes;
  });
  // The print is the first half of what is read from its spores: it never stands below them.
  const auto print =
      std::find_if(list.begin(), list.end(), [](const Advice& each) { return each.character == "C31"; });
  const auto spores = std::find_if(list.begin(), print, [&](const Advice& each) {
    return from_print(*gate_.library().character(each.character));
  });
  if (print != list.end()) std::rotate(spores, print, print + 1);
  if (list.size() > question_.most_next) list.resize(question_.most_next);
  return list;
}

}  // namespace stumpwise::key
