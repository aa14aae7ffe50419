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
  std::string open = "| name | least weight of the readings over a danger |\n| --- | --- |\n";
  std::string shut = "| name | kept shut by |\n| --- | --- |\n";
  for (const species::Profile& name : library().profiles()) {
    const auto& regions = name.regions;
    if (!gathered(name) || std::find(regions.begin(), regions.end(), region) == regions.end()) continue;
    ++reach.names;
    const GateResult result = the_key().gate().judge(name, typical_specimen(library(), name), {region});
    reach.reached += result.open;
    const std::string title = "| " + name.id + " *" + name.name() + "* | ";
    (result.open ? open : shut) += title + (result.open ? weight_text(result) : shut_by(result)) + " |\n";
  }
  reach.text = "\n## Region " + region + ": " + std::to_string(reach.reached) + " of " +
               std::to_string(reach.names) + " reach it\n\n" + open + "\nThese stay shut:\n\n" + shut;
  return reach;
}

TEST(Reach, TheListInTheDocumentsIsTrue) {
  std::string text =
      "# Which names can reach `doubles contradicted`\n\n"
      "Made by `test_key` (tests/key/reach_test.cpp): each gathered name is fed the typical body of its own "
      "profile, every\n"
      "character read with care, base dug, cut, watched for five minutes, under the microscope. A real body "
      "and a real reader\n"
      "do less well. A name that stays shut here stays shut always: its page says with which double.\n";
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

}  // namespace
}  // namespace stumpwise::key
