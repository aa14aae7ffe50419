// The gate on simulated bodies of the program's own profiles: T against what opens rightly and wrongly.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "commands.h"
#include "measure.h"
#include "specimens.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/key/identify.h"
#include "stumpwise/key/specimen.h"
#include "stumpwise/stat/exact.h"

namespace stumpwise::bench {
namespace {

using nlohmann::json;

constexpr double kShut = -1e9;

bool gathered(const species::Profile& profile) {
  return profile.group == species::Group::edible || profile.group == species::Group::conditional;
}

/// The T up to which the gate would open for `name`; kShut where another rule keeps it shut.
double margin(const key::Gate& gate, const species::Profile& name,
              const std::vector<key::Observation>& readings, const std::vector<std::string>& regions) {
  const key::GateResult result = gate.judge(name, readings, regions);
  if (!result.reasons.empty()) return kShut;
  double least = 1e9;
  for (const auto* list : {&result.undefeated, &result.defeated})
    for (const key::DangerVerdict& verdict : *list) {
      if (!verdict.settled || !verdict.against.empty() || verdict.blocked) return kShut;
      least = std::min(least, verdict.llr);
    }
  return least;
}

/// Every must-see read, within the name's own states: without it the gate is shut, and need not be asked.
bool as_the_name_has_it(const species::Profile& name, const std::vector<key::Observation>& readings) {
  return std::all_of(name.must_see.begin(), name.must_see.end(), [&](const std::string& id) {
    return std::any_of(readings.begin(), readings.end(), [&](const key::Observation& reading) {
      return reading.character == id && key::within(reading, name.characters.at(id));
    });
  });
}

/// Of all names that could be asked for, the one that would open furthest.
struct Opening {
  double margin = kShut;
  std::string name;
};

std::vector<key::Observation> first_of(std::vector<key::Observation> readings, int characters,
                                       base::Random& random) {
  for (std::size_t i = readings.size(); i > 1; --i)
    std::swap(readings[i - 1],
              readings[static_cast<std::size_t>(random.integer(0, static_cast<int>(i) - 1))]);
  if (characters > 0 && readings.size() > static_cast<std::size_t>(characters))
    readings.resize(static_cast<std::size_t>(characters));
  return readings;
}

Opening furthest(const species::Library& library, const key::Gate& gate,
                 const std::vector<key::Observation>& readings, const std::vector<std::string>& regions) {
  Opening best;
  for (const species::Profile& name : library.profiles()) {
    if (!gathered(name) || !as_the_name_has_it(name, readings)) continue;
    const double value = margin(gate, name, readings, regions);
    if (value > best.margin) best = {value, name.id};
  }
  return best;
}

}  // namespace

json gate(const GateRequest& request) {
  const auto library = base::value_or_throw(species::Library::read(base::data_folder()), "profiles");
  const auto regions = library.parse_regions(request.region);
  const key::Gate gate(library);
  std::vector<const species::Profile*> taxa;
  for (const species::Profile& profile : library.profiles())
    if (std::any_of(profile.regions.begin(), profile.regions.end(), [&](const std::string& code) {
          return std::find(regions.begin(), regions.end(), code) != regions.end();
        }))
      taxa.push_back(&profile);
  const auto n = static_cast<std::size_t>(request.simulate);
  std::vector<Opening> openings(n);
  const Meter meter;
  base::parallel_ranges(n, request.threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      base::Random random(request.seed * 1'000'003 + i);
      const auto readings =
          first_of(key::drawn_specimen(library, *taxa[i % taxa.size()], key::Experience::novice, random),
                   request.characters, random);
      openings[i] = furthest(library, gate, readings, regions);
    }
  });
  json curve = json::array();
  for (double threshold : {0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 15.0}) {
    int wrong = 0, wrong_name = 0, right = 0, dangerous = 0, own = 0;
    std::map<std::string, int> by_danger;
    for (std::size_t i = 0; i < n; ++i) {
      const species::Profile& taxon = *taxa[i % taxa.size()];
      const bool open = openings[i].margin >= threshold, bad = taxon.group == species::Group::dangerous;
      dangerous += bad, own += gathered(taxon);
      if (!open) continue;
      if (bad)
        ++wrong, ++by_danger[taxon.id + " as " + openings[i].name];
      else
        ++(openings[i].name == taxon.id ? right : wrong_name);
    }
    curve.push_back({{"threshold", threshold},
                     {"opened_rightly", right / static_cast<double>(own)},
                     {"opened_under_another_harmless_name", wrong_name},
                     {"opened_wrongly", wrong},
                     {"opened_wrongly_upper95", stat::binomial_upper(wrong, dangerous)},
                     {"n_dangerous", dangerous},
                     {"wrong_by_danger", by_danger}});
  }
  return {{"n", n},
          {"region", request.region},
          {"characters", request.characters},
          {"curve", curve},
          {"wall_seconds", meter.wall_seconds()}};
}

json key_speed(int taxa) {
  key::Matrix matrix = invented_matrix(taxa);
  const key::Chooser chooser(matrix);
  std::vector<key::Evidence> readings;
  std::vector<bool> asked(matrix.characters.size());
  const std::vector<double> prior(matrix.taxa.size(), 1);
  const Meter meter;
  int rounds = 0;
  double sink = 0;
  while (meter.wall_seconds() < 1) {
    readings.clear();
    std::fill(asked.begin(), asked.end(), false);
    for (std::size_t c = 0; c < matrix.characters.size(); ++c, ++rounds) {
      readings.push_back({c, 1, 0, 0.1});
      asked[c] = true;
      const auto share = key::posterior(prior, key::kNoneMass,
                                        key::log_likelihoods(matrix, readings, key::Grouping::capped));
      for (const key::Gain& gain : chooser.gains(share, asked)) sink += gain.names;
    }
  }
  return {{"taxa", taxa},
          {"characters", matrix.characters.size()},
          {"ms_per_update_and_ranking", meter.wall_seconds() * 1000 / rounds},
          {"sum", sink}};
}

}  // namespace stumpwise::bench
