#include <algorithm>
#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/learn/learn.h"

namespace stumpwise::learn {
namespace {

/// Mean, and covariance within plus between candidates.
ground::Coefficients mixture_of(const std::vector<Candidate>& candidates, std::size_t best) {
  ground::Coefficients mixture = candidates[best].result.coefficients;
  mixture.mean.setZero();
  mixture.covariance.setZero();
  for (const Candidate& each : candidates) mixture.mean += each.weight * each.result.coefficients.mean;
  for (const Candidate& each : candidates) {
    const ground::Theta away = each.result.coefficients.mean - mixture.mean;
    mixture.covariance += each.weight * (each.result.coefficients.covariance + away * away.transpose());
  }
  return mixture;
}

}  // namespace

CandidateFit fit_candidates(const std::vector<CandidateData>& candidates, const ground::Coefficients& prior,
                            double r, int threads) {
  if (candidates.empty()) throw Error(ErrorCode::bad_value, "there is no candidate to weigh");
  CandidateFit result;
  result.candidates.resize(candidates.size());
  base::parallel_ranges(candidates.size(), threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      Candidate& each = result.candidates[i];
      each.variant = candidates[i].variant;
      each.result = fit(candidates[i].outings, prior, r);
      each.log_evidence = each.result.log_evidence;
    }
  });
  auto score = [&](std::size_t i) { return result.candidates[i].log_evidence + candidates[i].log_prior; };
  for (std::size_t i = 1; i < candidates.size(); ++i)
    if (score(i) > score(result.best)) result.best = i;
  double sum = 0;
  for (std::size_t i = 0; i < candidates.size(); ++i)
    sum += result.candidates[i].weight = std::exp(score(i) - score(result.best));
  for (Candidate& each : result.candidates) each.weight /= sum;
  result.mixture = mixture_of(result.candidates, result.best);
  return result;
}

}  // namespace stumpwise::learn
