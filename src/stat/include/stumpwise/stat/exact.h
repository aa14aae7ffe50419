#pragma once

namespace stumpwise::stat {

/// One-sided exact upper limit of a share (Clopper & Pearson 1934, Biometrika 26: 404-413): the p at which so
/// few as `hits` of `n` have the chance 1 - level. n > 0, 0 <= hits <= n, 0 < level < 1; 1 where hits = n.
double binomial_upper(int hits, int n, double level = 0.95);

}  // namespace stumpwise::stat
