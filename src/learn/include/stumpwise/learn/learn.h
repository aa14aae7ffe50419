#pragma once
#include <vector>

#include "stumpwise/ground/prospect.h"
#include "stumpwise/learn/exposure.h"
#include "stumpwise/season/index.h"

namespace stumpwise::learn {

/// Log-likelihood of one outing's counts (design.md section 2): total negative binomial with size r and mean
/// S = sum_c E_c exp(h_c), positions multinomial with shares E_c exp(h_c) / S, h = a + b.z + g log index:
///
///   sum_c y_c (h_c + log E_c) + y_u log S - (y + r) log(r + S)
///     + lgamma(y + r) - lgamma(r) + r log r - lgamma(y + 1) + lgamma(y_p + 1) - sum_c lgamma(y_c + 1)
///
/// y = y_p + y_u finds, y_u of them without a place: they enter with the sum over where they may have been.
/// The constants make it a log probability: of the counts by cell where all are placed, of the total where
/// none is. That a find has no place is taken to say nothing of where it was. Sums are taken in logarithms,
/// so no count or h overflows. Error(bad_value) for r <= 0, a log index that does not stand for each cell, or
/// a cell without exposure.
double outing_log_likelihood(const OutingData& outing, const ground::Theta& theta, double r);

/// Value, gradient and information (negative Hessian; for outings with unplaced finds the part that is sure
/// to be positive: Fisher scoring) of one outing's log-likelihood.
struct Curvature {
  double value = 0;
  ground::Theta gradient = ground::Theta::Zero();
  ground::ThetaMatrix information = ground::ThetaMatrix::Zero();
};
Curvature outing_curvature(const OutingData& outing, const ground::Theta& theta, double r);

/// Evidence of the outings alone, for lessons: the posterior's precision and precision times mean, less the
/// prior's.
struct Gain {
  ground::ThetaMatrix precision = ground::ThetaMatrix::Zero();
  ground::Theta precision_mean = ground::Theta::Zero();
};

struct LearnResult {
  ground::Coefficients coefficients;
  double log_evidence = 0;  ///< log P(outings), Laplace; 0 for no outings
  Gain gain;
  int iterations = 0;
  bool converged = false;
};
/// Mode by Newton with line search from the prior's mean, Laplace approximation (covariance, log evidence).
///
/// g >= 0 is kept by an active set (stat/newton.h): a better day never means fewer finds. The prior is the
/// profile's normal cut at g = 0; the evidence takes the cut into account on both sides (exact along g where
/// the posterior is normal), the covariance is that of the uncut normal at the mode. Outings without exposed
/// cells carry no information and are left out, their finds too. No outings: the prior exactly. Observers are
/// not told apart yet (an effect of its own variance comes later). Error(bad_value) for r <= 0 or a prior
/// covariance that is not positive definite.
LearnResult fit(const std::vector<OutingData>& outings, const ground::Coefficients& prior, double r);

/// One candidate of the grid of season and water variants: the same outings with the index of that variant.
struct CandidateData {
  season::Variant variant;
  std::vector<OutingData> outings;
  double log_prior = 0;  ///< up to a constant
};
struct Candidate {
  season::Variant variant;
  double log_evidence = 0;
  double weight = 0;  ///< posterior probability among the candidates; they sum to 1
  LearnResult result;
};
struct CandidateFit {
  std::vector<Candidate> candidates;  ///< in the order given
  std::size_t best = 0;               ///< the heaviest
  /// Mean and covariance over the mixture: within and between candidates. For telling how sure one may be;
  /// for maps take the best candidate with its own variant.
  ground::Coefficients mixture;
};
/// Weights by evidence. Error(bad_value) for no candidates.
CandidateFit fit_candidates(const std::vector<CandidateData>& candidates, const ground::Coefficients& prior,
                            double r, int threads = 1);

}  // namespace stumpwise::learn
