#include "stumpwise/key/posterior.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace stumpwise::key {

namespace {

/// What each reading is divided by.
std::vector<double> divisors(const Matrix& matrix, const std::vector<Evidence>& readings, Grouping grouping) {
  std::map<std::string, int> count;
  for (const Evidence& reading : readings) ++count[matrix.characters[reading.character].group];
  std::vector<double> list;
  for (const Evidence& reading : readings) {
    const int n = count[matrix.characters[reading.character].group];
    list.push_back(grouping == Grouping::capped ? 1 + 0.5 * (n - 1) : 1);
  }
  return list;
}

}  // namespace

std::vector<double> log_likelihoods(const Matrix& matrix, const std::vector<Evidence>& readings,
                                    Grouping grouping) {
  const std::vector<double> divisor = divisors(matrix, readings, grouping);
  std::vector<double> sums(matrix.taxa.size() + 1);
  for (std::size_t r = 0; r < readings.size(); ++r) {
    const KeyCharacter& character = matrix.characters[readings[r].character];
    double all = 0;
    for (std::size_t t = 0; t < matrix.taxa.size(); ++t) {
      const double own = likelihood(character, matrix.cell(t, readings[r].character), readings[r]);
      sums[t] += std::log(own) / divisor[r];
      all += own;
    }
    sums.back() += std::log(all / static_cast<double>(matrix.taxa.size())) / divisor[r];
  }
  return sums;
}

std::vector<double> posterior(const std::vector<double>& prior, double none_mass,
                              const std::vector<double>& log_likelihood) {
  const double sum = std::accumulate(prior.begin(), prior.end(), 0.0);
  const double highest = *std::max_element(log_likelihood.begin(), log_likelihood.end());
  std::vector<double> result(log_likelihood.size());
  for (std::size_t t = 0; t < prior.size(); ++t)
    result[t] = (1 - none_mass) * prior[t] / sum * std::exp(log_likelihood[t] - highest);
  result.back() = none_mass * std::exp(log_likelihood.back() - highest);
  const double total = std::accumulate(result.begin(), result.end(), 0.0);
  for (double& value : result) value /= total;
  return result;
}

std::vector<double> floored_prior(const Matrix& matrix, std::vector<double> weight, double floor,
                                  double danger_floor) {
  const double sum = std::accumulate(weight.begin(), weight.end(), 0.0);
  const double even = 1.0 / static_cast<double>(weight.size());
  for (std::size_t t = 0; t < weight.size(); ++t) {
    const double share = sum > 0 ? weight[t] / sum : even;
    weight[t] = std::max(share, even * (matrix.taxa[t].dangerous ? danger_floor : floor));
  }
  const double lifted = std::accumulate(weight.begin(), weight.end(), 0.0);
  for (double& value : weight) value /= lifted;
  return weight;
}

}  // namespace stumpwise::key
