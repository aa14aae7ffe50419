// What must hold of the key whatever is read.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "book.h"
#include "stumpwise/key/specimen.h"

namespace stumpwise::key {
namespace {

using testing_book::library;
using testing_book::the_key;

const species::Profile& any_profile() {
  return library().profiles()[*rc::gen::inRange<std::size_t>(0, library().profiles().size())];
}
const species::Profile& any_gathered() {
  std::vector<const species::Profile*> list;
  for (const auto& profile : library().profiles())
    if (profile.group == species::Group::edible || profile.group == species::Group::conditional)
      list.push_back(&profile);
  return *list[*rc::gen::inRange<std::size_t>(0, list.size())];
}
/// Some readings of a body of any taxon, misread as a novice does, some of them careless.
std::vector<Observation> any_readings() {
  base::Random random(static_cast<std::uint64_t>(*rc::gen::arbitrary<std::uint32_t>()));
  auto list = drawn_specimen(library(), any_profile(), Experience::novice, random);
  std::vector<Observation> some;
  for (Observation& reading : list) {
    if (random.chance(0.5)) continue;
    if (random.chance(0.3)) reading.dug = reading.cut = false, reading.watched_s.reset();
    some.push_back(reading);
  }
  return some;
}
const DangerVerdict* of(const GateResult& result, const std::string& id) {
  for (const auto* list : {&result.undefeated, &result.defeated})
    for (const auto& verdict : *list)
      if (verdict.id == id) return &verdict;
  return nullptr;
}
const std::vector<std::string> kRegions{"EU", "NA-E"};

RC_GTEST_PROP(KeyProperty, TheOrderOfReadingsNeverMatters, ()) {
  Question question;
  question.readings = any_readings();
  question.regions = kRegions;
  const Answer first = the_key().answer(question);
  base::Random random(static_cast<std::uint64_t>(*rc::gen::arbitrary<std::uint32_t>()));
  for (std::size_t i = question.readings.size(); i > 1; --i)
    std::swap(question.readings[i - 1],
              question.readings[static_cast<std::size_t>(random.integer(0, static_cast<int>(i) - 1))]);
  const Answer second = the_key().answer(question);
  RC_ASSERT(first.standing == second.standing);
  RC_ASSERT(first.name == second.name);
  RC_ASSERT(first.gate.undefeated.size() == second.gate.undefeated.size());
  for (const auto& each : first.gate.undefeated) {
    const DangerVerdict* other = of(second.gate, each.id);
    RC_ASSERT(other && std::set<std::string>(each.groups.begin(), each.groups.end()) ==
                           std::set<std::string>(other->groups.begin(), other->groups.end()));
    RC_ASSERT(std::abs(each.llr - other->llr) < 1e-9);
  }
  for (const auto& each : first.names)
    for (const auto& other : second.names)
      if (each.id == other.id) RC_ASSERT(std::abs(each.posterior - other.posterior) < 1e-9);
}

RC_GTEST_PROP(KeyProperty, AnAddedReadingBettersNoVerdictOfG2UnlessItContradictsThatDanger, ()) {
  const species::Profile& name = any_gathered();
  auto list = any_readings();
  RC_PRE(!list.empty());
  const Observation added = list.back();
  list.pop_back();
  const GateResult before = the_key().gate().judge(name, list, kRegions);
  list.push_back(added);
  const GateResult after = the_key().gate().judge(name, list, kRegions);
  for (const species::Profile& danger : library().profiles()) {
    const DangerVerdict *then = of(before, danger.id), *now = of(after, danger.id);
    if (!then || !now || now->groups.size() <= then->groups.size()) continue;
    RC_ASSERT(contradicts(library(), added, danger, list).counts);
  }
}

RC_GTEST_PROP(KeyProperty, WhatWasNotObservedNeverContradicts, ()) {
  const auto list = any_readings();
  std::set<std::string> seen;
  for (const Observation& reading : list) seen.insert(reading.character);
  const GateResult result = the_key().gate().judge(any_gathered(), list, kRegions);
  for (const auto* verdicts : {&result.undefeated, &result.defeated})
    for (const DangerVerdict& verdict : *verdicts)
      for (const std::string& id : verdict.contradicted_by) RC_ASSERT(seen.count(id) == 1);
}

RC_GTEST_PROP(KeyProperty, PerishableAbsencesNeverContradict, ()) {
  const auto list = any_readings();
  const GateResult result = the_key().gate().judge(any_gathered(), list, kRegions);
  for (const Observation& reading : list) {
    const species::Character& row = *library().character(reading.character);
    const bool perishable =
        std::any_of(reading.states.begin(), reading.states.end(), [&](const std::string& state) {
          return std::find(row.perishable.begin(), row.perishable.end(), state) != row.perishable.end();
        });
    if (!perishable) continue;
    for (const auto* verdicts : {&result.undefeated, &result.defeated})
      for (const DangerVerdict& verdict : *verdicts)
        RC_ASSERT(std::find(verdict.contradicted_by.begin(), verdict.contradicted_by.end(), row.id) ==
                  verdict.contradicted_by.end());
  }
}

RC_GTEST_PROP(KeyProperty, TheGateReadsNeitherPriorNorExperience, ()) {
  Question question;
  question.readings = any_readings();
  question.regions = kRegions;
  question.name = any_gathered().id;
  const Answer plain = the_key().answer(question);
  question.experience = *rc::gen::element(Experience::novice, Experience::expert);
  for (std::size_t t = 0; t < library().profiles().size(); ++t)
    question.prior.push_back(*rc::gen::element(0.0, 0.001, 1.0, 1000.0));
  const Answer other = the_key().answer(question);
  RC_ASSERT(plain.gate.open == other.gate.open);
  RC_ASSERT(plain.gate.reasons == other.gate.reasons);
  RC_ASSERT(plain.gate.undefeated.size() == other.gate.undefeated.size());
  for (std::size_t i = 0; i < plain.gate.undefeated.size(); ++i) {
    RC_ASSERT(plain.gate.undefeated[i].id == other.gate.undefeated[i].id);
    RC_ASSERT(plain.gate.undefeated[i].llr == other.gate.undefeated[i].llr);
    RC_ASSERT(plain.gate.undefeated[i].reasons == other.gate.undefeated[i].reasons);
  }
}

RC_GTEST_PROP(KeyProperty, NoDangerIsEverRuledOutByRarity, ()) {
  Question question;
  question.readings = any_readings();
  question.prior.assign(library().profiles().size(), 0);
  question.prior.front() = 1;
  for (const auto& each : the_key().answer(question).names)
    if (each.id[0] == 'X') RC_ASSERT(each.posterior > 0);
}

RC_GTEST_PROP(KeyProperty, SharesSumToOne, ()) {
  Question question;
  question.readings = any_readings();
  const Answer answer = the_key().answer(question);
  double sum = answer.none_of_these;
  for (const auto& each : answer.names) sum += each.posterior;
  RC_ASSERT(std::abs(sum - 1) < 1e-9);
}

}  // namespace
}  // namespace stumpwise::key
