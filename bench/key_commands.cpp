#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <mutex>

#include "commands.h"
#include "measure.h"
#include "specimens.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/base/text.h"
#include "stumpwise/key/chooser.h"
#include "stumpwise/stat/exact.h"

namespace stumpwise::bench {
namespace {

using nlohmann::json;

/// What was found for one specimen.
struct Verdict {
  bool first = false, among_three = false;  ///< its own species
  bool first_edible = false;
  double margin = 0;      ///< best edible minus best dangerous log-likelihood: rule G6
  double confidence = 0;  ///< posterior of the first
};

class Run {
 public:
  Run(const key::Matrix& matrix, const KeyRequest& request, int characters)
      : matrix_(matrix), request_(request), characters_(characters), chooser_(matrix) {}

  Verdict judge(const Specimen& specimen) const {
    std::vector<double> log_likelihood(matrix_.taxa.size());
    std::vector<bool> asked(matrix_.characters.size());
    for (int step = 0; step < characters_; ++step) {
      const std::size_t next = request_.chosen ? choose(log_likelihood, asked) : specimen.order[step];
      asked[next] = true;
      key::Evidence reading = specimen.readings[next];
      reading.misread = request_.misread;
      for (std::size_t t = 0; t < log_likelihood.size(); ++t)
        log_likelihood[t] +=
            std::log(key::likelihood(matrix_.characters[next], matrix_.cell(t, next), reading));
    }
    return verdict(specimen, log_likelihood);
  }

 private:
  static std::vector<double> shares(const std::vector<double>& log_likelihood) {
    const double highest = *std::max_element(log_likelihood.begin(), log_likelihood.end());
    std::vector<double> result;
    double sum = 0;
    for (double value : log_likelihood) sum += result.emplace_back(std::exp(value - highest));
    for (double& value : result) value /= sum;
    result.push_back(0);  // every specimen is of a species of the file: no "none of these"
    return result;
  }

  std::size_t choose(const std::vector<double>& log_likelihood, const std::vector<bool>& asked) const {
    const auto gains = chooser_.gains(shares(log_likelihood), asked);
    std::size_t best = asked.size();
    double most = -1;
    for (std::size_t c = 0; c < asked.size(); ++c) {
      const double worth = gains[c].names + request_.danger_weight * gains[c].danger;
      if (!asked[c] && worth > most + 1e-12) best = c, most = worth;
    }
    return best;
  }

  Verdict verdict(const Specimen& specimen, const std::vector<double>& log_likelihood) const {
    Verdict result;
    const double own = log_likelihood[specimen.taxon];
    std::size_t ahead = 0, first = 0;
    double edible = -1e300, dangerous = -1e300;
    for (std::size_t t = 0; t < log_likelihood.size(); ++t) {
      if (log_likelihood[t] > log_likelihood[first]) first = t;
      ahead += log_likelihood[t] > own || (log_likelihood[t] == own && t < specimen.taxon);
      double& best = matrix_.taxa[t].dangerous ? dangerous : edible;
      best = std::max(best, log_likelihood[t]);
    }
    result.first = ahead == 0;
    result.among_three = ahead < 3;
    result.first_edible = !matrix_.taxa[first].dangerous;
    const auto share = shares(log_likelihood);
    result.confidence = share[first];
    result.margin = request_.classes ? class_margin(share) : edible - dangerous;
    return result;
  }

  /// Log odds of the two classes under equal priors of the species: by the lemma of Neyman and Pearson no
  /// rule on the same readings opens more edible specimens at the same share of dangerous ones.
  double class_margin(const std::vector<double>& share) const {
    double edible = 1e-300, dangerous = 1e-300;
    for (std::size_t t = 0; t < matrix_.taxa.size(); ++t)
      (matrix_.taxa[t].dangerous ? dangerous : edible) += share[t];
    return std::log(edible / dangerous);
  }

  const key::Matrix& matrix_;
  const KeyRequest& request_;
  int characters_;
  key::Chooser chooser_;
};

json opened(const std::vector<Verdict>& verdicts, const std::vector<Specimen>& specimens,
            const key::Matrix& matrix, double threshold) {
  int edible = 0, dangerous = 0, right = 0, wrong = 0;
  for (std::size_t i = 0; i < verdicts.size(); ++i) {
    const bool bad = matrix.taxa[specimens[i].taxon].dangerous, open = verdicts[i].margin >= threshold;
    (bad ? dangerous : edible) += 1;
    if (open) (bad ? wrong : right) += 1;
  }
  return {{"threshold", threshold},
          {"opened_rightly", edible ? right / static_cast<double>(edible) : 0.0},
          {"opened_wrongly", wrong},
          {"opened_wrongly_upper95", dangerous ? stat::binomial_upper(wrong, dangerous) : 1.0}};
}

/// Ten classes of the confidence in the first name against how often it was right; the expected calibration
/// error is the mean distance of the two (Guo et al. 2017, ICML).
json calibration(const std::vector<Verdict>& verdicts) {
  std::array<std::array<double, 3>, 10> bins{};
  for (const Verdict& verdict : verdicts) {
    auto& bin = bins[std::min(static_cast<std::size_t>(verdict.confidence * 10), std::size_t{9})];
    ++bin[0], bin[1] += verdict.confidence, bin[2] += verdict.first;
  }
  json table = json::array();
  double error = 0;
  for (const auto& [n, confidence, right] : bins) {
    if (n == 0) continue;
    table.push_back({{"n", n}, {"mean_posterior", confidence / n}, {"share_right", right / n}});
    error += std::abs(confidence - right);
  }
  return {{"table", table}, {"expected_calibration_error", error / static_cast<double>(verdicts.size())}};
}

int count_of(const std::string& characters, std::size_t all) {
  if (characters == "all") return static_cast<int>(all);
  const auto number = base::parse_integer(characters);
  if (!number || *number < 1 || *number > static_cast<int>(all))
    throw Error(ErrorCode::bad_usage,
                fmt::format("--characters {}: 1 to {}, or all", base::printable(characters), all));
  return *number;
}

}  // namespace

json key(const KeyRequest& request) {
  if (request.chosen == request.given) throw Error(ErrorCode::bad_usage, "either --chosen or --given");
  if (request.specimens.empty() == (request.simulate == 0))
    throw Error(ErrorCode::bad_usage, "either --specimens FILE or --simulate N");
  if (request.misread <= 0 || request.misread >= 1)
    throw Error(ErrorCode::bad_usage, "--misread: above 0, below 1");
  key::Matrix matrix = base::value_or_throw(key::read_matrix(request.matrix, request.groups), request.matrix);
  for (key::KeyCharacter& character : matrix.characters) character.misread = request.misread;
  const int characters = count_of(request.characters, matrix.characters.size());
  const std::vector<Specimen> specimens =
      request.specimens.empty()
          ? simulate(matrix, request.simulate, request.seed, request.misread)
          : base::value_or_throw(read_specimens(matrix, request.specimens), request.specimens);
  const Run run(matrix, request, characters);
  std::vector<Verdict> verdicts(specimens.size());
  const Meter meter;
  base::parallel_ranges(specimens.size(), request.threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) verdicts[i] = run.judge(specimens[i]);
  });
  const double cpu_s = meter.cpu_seconds();
  int dangerous = 0, as_edible = 0;
  double top1 = 0, top3 = 0;
  for (std::size_t i = 0; i < verdicts.size(); ++i) {
    const bool bad = matrix.taxa[specimens[i].taxon].dangerous;
    dangerous += bad;
    as_edible += bad && verdicts[i].first_edible;
    top1 += verdicts[i].first, top3 += verdicts[i].among_three;
  }
  const auto n = static_cast<double>(specimens.size());
  json answer = opened(verdicts, specimens, matrix, request.threshold);
  answer["n"] = specimens.size();
  answer["n_dangerous"] = dangerous;
  answer["top1"] = top1 / n;
  answer["top3"] = top3 / n;
  answer["dangerous_as_edible"] = as_edible;
  answer["ms_per_specimen"] = cpu_s * 1000 / n;
  answer["calibration"] = calibration(verdicts);
  if (request.curve)
    for (double threshold = 1; threshold <= 12; threshold += 0.25)
      answer["curve"].push_back(opened(verdicts, specimens, matrix, threshold));
  return answer;
}

}  // namespace stumpwise::bench
