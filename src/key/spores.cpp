#include "stumpwise/key/spores.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "stumpwise/base/error.h"

namespace stumpwise::key {
namespace {

double mean_of(const std::vector<double>& sorted) {
  double sum = 0;
  for (const double x : sorted) sum += x;
  return sum / static_cast<double>(sorted.size());
}

/// Percentile of type 7; `sorted` is not empty, 0 <= p <= 1.
double percentile(const std::vector<double>& sorted, double p) {
  const double h = static_cast<double>(sorted.size() - 1) * p;
  const auto below = static_cast<std::size_t>(h);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  // Not x + f (y - x): rounding could leave the ends.
  return std::clamp(sorted[below] + (h - std::floor(h)) * (sorted[above] - sorted[below]), sorted[below],
                    sorted[above]);
}

Spread spread_of(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const double mean = std::clamp(mean_of(values), values.front(), values.back());
  double squares = 0;
  for (const double x : values) squares += (x - mean) * (x - mean);
  return {.min = values.front(),
          .p5 = percentile(values, 0.05),
          .mean = mean,
          .sd = std::sqrt(squares / static_cast<double>(values.size() - 1)),
          .p95 = percentile(values, 0.95),
          .max = values.back()};
}

void check(const Spore& spore, std::size_t number) {
  const bool possible = std::isfinite(spore.length_um) && spore.width_um > 0 &&
                        spore.width_um <= spore.length_um && spore.length_um <= kLongestSpore_um;
  if (!possible)
    throw Error(ErrorCode::bad_value,
                fmt::format("spore {}: {} x {} um is impossible: 0 < width <= length <= {}", number,
                            spore.length_um, spore.width_um, kLongestSpore_um),
                "Length is the longer side.");
}

void check(const std::vector<Spore>& spores) {
  for (std::size_t i = 0; i < spores.size(); ++i) check(spores[i], i + 1);
  if (spores.size() < static_cast<std::size_t>(kFewestSpores))
    throw Error(
        ErrorCode::no_data,
        fmt::format("{} {} measured: at least {} are needed, {} are wanted. Of fewer, the 5 and 95 % are "
                    "little else than the smallest and the largest spore, and one odd spore decides them",
                    spores.size(), spores.size() == 1 ? "spore" : "spores", kFewestSpores, kSporesWanted),
        "Measure more mature spores of the same print, as they come, without choosing.");
}

struct Measures {
  std::vector<double> length_um, width_um, q;
  void add(const Spore& spore) {
    length_um.push_back(spore.length_um);
    width_um.push_back(spore.width_um);
    q.push_back(spore.length_um / spore.width_um);
  }
};

double sorted_mean(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return mean_of(values);
}

std::vector<BodyMeans> means_of_bodies(const std::vector<Spore>& spores) {
  std::map<std::pair<std::string, std::string>, Measures> bodies;
  for (const Spore& spore : spores) bodies[{spore.collection, spore.specimen}].add(spore);
  std::vector<BodyMeans> means;
  for (auto& [name, its] : bodies)
    means.push_back({.specimen = name.second,
                     .collection = name.first,
                     .spores = static_cast<int>(its.q.size()),
                     .mean_length_um = sorted_mean(its.length_um),
                     .mean_width_um = sorted_mean(its.width_um),
                     .mean_q = sorted_mean(its.q)});
  return means;
}

}  // namespace

SporeStatistics spore_statistics(const std::vector<Spore>& spores) {
  check(spores);
  Measures all;
  std::set<std::string> collections;
  SporeStatistics result;
  for (const Spore& spore : spores) {
    all.add(spore);
    collections.insert(spore.collection);
    result.specimens_said |= !spore.specimen.empty();
    result.collections_said |= !spore.collection.empty();
  }
  result.spores = static_cast<int>(spores.size());
  result.collections = static_cast<int>(collections.size());
  result.length_um = spread_of(std::move(all.length_um));
  result.width_um = spread_of(std::move(all.width_um));
  result.q = spread_of(std::move(all.q));
  result.bodies = means_of_bodies(spores);
  return result;
}

ShapeClass spore_shape(double q) {
  struct Row {
    double from;
    const char *name, *source;
  };
  static constexpr std::array<Row, 7> kRows{{{3.0, "bacilliform", "memory"},
                                             {2.0, "cylindrical", "memory"},
                                             {1.6, "elongate", "memory"},
                                             {1.3, "ellipsoid", "Bas 1969"},
                                             {1.15, "broadly ellipsoid", "Bas 1969"},
                                             {1.05, "subglobose", "Bas 1969"},
                                             {1.0, "globose", "Bas 1969"}}};
  for (const Row& row : kRows)
    if (q >= row.from) return {row.name, row.source};
  throw Error(ErrorCode::bad_value, fmt::format("Q {}: length / width is 1 or more", q),
              "Length is the longer side.");
}

}  // namespace stumpwise::key
