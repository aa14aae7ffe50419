#include "stumpwise/stat/exact.h"

#include <boost/math/distributions/binomial.hpp>

namespace stumpwise::stat {

double binomial_upper(int hits, int n, double level) {
  if (hits >= n) return 1;
  return boost::math::binomial_distribution<double>::find_upper_bound_on_p(n, hits, 1 - level);
}

}  // namespace stumpwise::stat
