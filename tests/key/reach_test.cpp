// Every gathered name is fed its own typical specimen, microscope included: which reach `doubles
// contradicted`, and what keeps the others shut. The list stands in docs/key-reach.md; STUMPWISE_UPDATE=1
// writes it anew.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>

#include "book.h"
#include "stumpwise/base/text.h"
#include "stumpwise/key/specimen.h"

namespace stumpwise::key {
namespace {

using testing_book::library;
using testing_book::the_key;

bool gathered(const species::Profile& profile) {
  return profile.group == species::Group::edible || profile.group == species::Group::conditional;
}

std::string shut_by(const GateResult& result) {
  std::vector<std::string> parts;
  for (const DangerVerdict& verdict : result.undefeated) {
    std::string part = verdict.id + " " + verdict.name + ": ";
    if (verdict.blocked)
      part += "the pair is blocked";
    else if (!verdict.against.empty())
      part += "named characters unsure or shared (" + base::join(verdict.against, ", ") + ")";
    else if (!verdict.settled)
      part += std::to_string(verdict.groups.size()) + " of 2 evidence groups";
    else
      part += "the readings weigh too little (G6)";
    parts.push_back(part);
  }
  for (const std::string& reason : result.reasons) parts.push_back(reason);
  return base::join(parts, "; ");
}

struct Reach {
  std::string text;
  int reached = 0, names = 0;
};

std::string weight_text(const GateResult& result) {
  const auto least = std::min_element(result.defeated.begin(), result.defeated.end(),
                                      [](const auto& a, const auto& b) { return a.llr < b.llr; });
  std::ostringstream text;
  text.precision(1);
  text << std::fixed << least->llr << " over " << least->id << " *" << least->name << "*";
  return text.str();
}

Reach reach_in(const std::string& region) {
  Reach reach;
  int lucky_ones = 0;
  std::string open = "| name | least weight of the readings over a danger |\n| --- | --- |\n";
  std::string lucky = "| name | a common body is kept shut by |\n| --- | --- |\n";
  std::string shut = "| name | kept shut by |\n| --- | --- |\n";
  for (const species::Profile& name : library().profiles()) {
    const auto& regions = name.regions;
    if (!gathered(name) || std::find(regions.begin(), regions.end(), region) == regions.end()) continue;
    ++reach.names;
    const Gate& gate = the_key().gate();
    const GateResult typical = gate.judge(name, typical_specimen(library(), name), {region});
    const GateResult telling = gate.judge(name, telling_specimen(library(), name, {region}), {region});
    const std::string title = "| " + name.id + " *" + name.name() + "* | ";
    reach.reached += typical.open;
    lucky_ones += !typical.open && telling.open;
    if (typical.open)
      open += title + weight_text(typical) + " |\n";
    else if (telling.open)
      lucky += title + shut_by(typical) + " |\n";
    else
      shut += title + shut_by(telling) + " |\n";
  }
  reach.text = "\n## Region " + region + ": " + std::to_string(reach.reached) + " of " +
               std::to_string(reach.names) + " reach it with a typical body\n\n" + open + "\n" +
               std::to_string(lucky_ones) +
               " more reach it only where the body shows the most telling of its own states:\n\n" + lucky +
               "\nThese never reach it:\n\n" + shut;
  return reach;
}

TEST(Reach, TheListInTheDocumentsIsTrue) {
  std::string text =
      "# Which names can reach `doubles contradicted`\n\n"
      "Made by `test_key` (tests/key/reach_test.cpp): each gathered name is fed the typical body of its own "
      "profile, every\n"
      "character read with care, base dug, cut, watched for five minutes, under the microscope. A real body "
      "and a real reader\n"
      "do less well. A name that never reaches it stays shut always: its page says with which double.\n";
  for (const char* region : {"EU", "NA-E"}) {
    const Reach reach = reach_in(region);
    std::cout << region << ": " << reach.reached << " of " << reach.names << " reach doubles contradicted\n";
    EXPECT_GE(reach.reached, 10) << "a gate that never opens is useless too";
    text += reach.text;
  }
  const std::string path = std::string(STUMPWISE_SOURCE_DIR) + "/docs/key-reach.md";
  if (std::getenv("STUMPWISE_UPDATE")) std::ofstream(path) << text;
  EXPECT_EQ(base::read_file(path), text)
      << "docs/key-reach.md is stale: run test_key with STUMPWISE_UPDATE=1";
}

// No dangerous taxon's own typical body opens the gate for any name.
TEST(Reach, NoDangerOpensTheGateForAnyName) {
  for (const species::Profile& danger : library().profiles()) {
    if (danger.group != species::Group::dangerous) continue;
    const auto readings = typical_specimen(library(), danger);
    for (const species::Profile& name : library().profiles()) {
      if (!gathered(name)) continue;
      EXPECT_FALSE(the_key().gate().judge(name, readings, {"EU", "NA-E"}).open)
          << danger.id << " as " << name.id;
    }
  }
}

/// `readings` with those of `ids` as the typical body of the name has them: slips.
std::vector<Observation> slipped(std::vector<Observation> readings, const std::vector<Observation>& wished,
                                 const std::vector<std::string>& ids) {
  for (const std::string& id : ids) {
    const auto wish =
        std::find_if(wished.begin(), wished.end(), [&](const auto& each) { return each.character == id; });
    if (wish == wished.end()) continue;
    std::erase_if(readings, [&](const Observation& each) { return each.character == id; });
    readings.push_back(*wish);
  }
  return readings;
}

// Two slips must not open the gate: any two readings of a danger's typical body that turn out as the name has
// them.
TEST(Reach, TwoSlipsNeverOpenTheGate) {
  int tried = 0;
  for (const species::Profile& danger : library().profiles()) {
    if (danger.group != species::Group::dangerous) continue;
    const auto body = typical_specimen(library(), danger);
    for (const species::Profile& name : library().profiles()) {
      if (!gathered(name)) continue;
      const auto wished = typical_specimen(library(), name);
      const GateResult plain = the_key().gate().judge(name, body, {"EU", "NA-E"});
      std::vector<std::string> needed = plain.must_see_missing;
      needed.insert(needed.end(), plain.must_see_contrary.begin(), plain.must_see_contrary.end());
      if (needed.size() > 2) continue;  // G7 alone keeps it shut
      std::vector<std::string> free;
      for (const Observation& each : wished) free.push_back(each.character);
      for (std::size_t a = 0; a < free.size(); ++a)
        for (std::size_t b = a + 1; b < free.size(); ++b) {
          const std::vector<std::string> two{free[a], free[b]};
          if (!std::all_of(needed.begin(), needed.end(),
                           [&](const auto& id) { return id == two[0] || id == two[1]; }))
            continue;
          ++tried;
          EXPECT_FALSE(the_key().gate().judge(name, slipped(body, wished, two), {"EU", "NA-E"}).open)
              << danger.id << " as " << name.id << " by " << two[0] << " and " << two[1];
        }
    }
  }
  EXPECT_GT(tried, 1000);
}

}  // namespace
}  // namespace stumpwise::key
