#pragma once
#include <span>
#include <vector>

namespace stumpwise::walk {

/// A patch in the eyes of the clock: t minutes in it find n (1 - exp(-per_min t)), least_min <= t <=
/// most_min.
struct SearchLaw {
  double log_rate =
      0;  ///< ln(n per_min): finds a minute when the search begins; -infinity where nothing stands
  double per_min = 0;  ///< share of the patch swept a minute: W v / A
  double least_min = 0, most_min = 0;
};

/// Divides `total_min` among patches so that the last minute finds as much in each (equal marginal return,
/// Charnes & Cooper 1958), but for the bounds. Gives less than the total where all are at their most. The
/// leasts must fit.
void divide(std::span<const SearchLaw> laws, double total_min, std::span<double> into);

/// The same with a limit on each sum of the first i + 1: the search of the first patches must be over by a
/// certain time. Most violated limit first, then both sides apart, which is exact for limits of this form
/// (Vidal, Jaillet & Maculan 2016, SIAM J. Optim. 26:1311). False where the leasts do not fit.
bool divide_in_time(std::span<const SearchLaw> laws, std::span<double> limits_min, std::span<double> into);

}  // namespace stumpwise::walk
