#pragma once
#include <vector>

#include "stumpwise/key/matrix.h"

namespace stumpwise::key {

/// Mass of "none of these" before anything is seen: an assumption of the domain paper, B6.
inline constexpr double kNoneMass = 0.2;

/// How the readings of one evidence group are added up.
enum class Grouping {
  independent,  ///< each counts in full: right where the characters were drawn independently
  capped  ///< n readings of a group: their sum divided by 1 + 0.5 (n - 1), for they tell partly the same
};

/// Natural log-likelihood of the readings for each taxon, in order, and at the end for "none of these": a
/// fungus that is not in the key shows each state as often as the taxa of the key do on the whole, one
/// character apart from the other (an assumption: what is unknown resembles what is known).
std::vector<double> log_likelihoods(const Matrix& matrix, const std::vector<Evidence>& readings,
                                    Grouping grouping);

/// Bayes. `prior` over the taxa (any positive scale) shares 1 - none_mass; the answer sums to 1, "none of
/// these" last. A prior of 0 stays 0; floors are the caller's (see floored_prior).
std::vector<double> posterior(const std::vector<double>& prior, double none_mass,
                              const std::vector<double>& log_likelihood);

/// Lifts every weight to at least `floor` times the even share (1 / taxa), dangerous taxa to at least
/// `danger_floor` times it, so that no rarity rules a taxon out, and scales the sum to 1.
std::vector<double> floored_prior(const Matrix& matrix, std::vector<double> weight, double floor,
                                  double danger_floor);

}  // namespace stumpwise::key
