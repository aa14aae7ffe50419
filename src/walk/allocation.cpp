#include "allocation.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stumpwise::walk {
namespace {

/// Below the clock's own rounding; keeps sums of many minutes inside their limits.
constexpr double kHair_min = 1e-7;

double minutes_at(const SearchLaw& law, double log_price) {
  return std::clamp((law.log_rate - log_price) / law.per_min, law.least_min, law.most_min);
}

void divide_part(std::span<const SearchLaw> laws, std::span<const double> limits_min, double before_min,
                 std::span<double> into) {
  if (laws.empty()) return;
  divide(laws, limits_min.back() - before_min, into);
  double sum_min = before_min, worst_min = kHair_min;
  std::size_t worst = laws.size();
  for (std::size_t i = 0; i + 1 < laws.size(); ++i) {
    sum_min += into[i];
    if (sum_min - limits_min[i] > worst_min) {
      worst_min = sum_min - limits_min[i];
      worst = i;
    }
  }
  if (worst == laws.size()) return;
  divide_part(laws.first(worst + 1), limits_min.first(worst + 1), before_min, into.first(worst + 1));
  divide_part(laws.subspan(worst + 1), limits_min.subspan(worst + 1), limits_min[worst],
              into.subspan(worst + 1));
}

}  // namespace

void divide(std::span<const SearchLaw> laws, double total_min, std::span<double> into) {
  double most_min = 0, low = std::numeric_limits<double>::infinity(), high = -low;
  for (const SearchLaw& law : laws) {
    most_min += law.most_min;
    if (!std::isfinite(law.log_rate)) continue;
    low = std::min(low, law.log_rate - law.per_min * law.most_min);
    high = std::max(high, law.log_rate - law.per_min * law.least_min);
  }
  if (most_min <= total_min) {
    for (std::size_t i = 0; i < laws.size(); ++i) into[i] = laws[i].most_min;
    return;
  }
  if (!(high > low)) {
    for (std::size_t i = 0; i < laws.size(); ++i) into[i] = laws[i].least_min;
    return;
  }
  // The sum of minutes falls with the log price, in straight pieces: Newton steps kept inside a shrinking
  // bracket.
  double log_price = 0.5 * (low + high);
  for (int step = 0; step < 80; ++step) {
    double sum_min = 0, fall = 0;
    for (std::size_t i = 0; i < laws.size(); ++i) {
      const SearchLaw& law = laws[i];
      into[i] = minutes_at(law, log_price);
      sum_min += into[i];
      if (into[i] > law.least_min && into[i] < law.most_min) fall += 1 / law.per_min;
    }
    const double over_min = sum_min - total_min;
    if (over_min <= 0 && over_min > -kHair_min) return;
    (over_min > 0 ? low : high) = log_price;
    const double newton = fall > 0 ? log_price + (over_min + 0.5 * kHair_min) / fall : low;
    log_price = newton > low && newton < high ? newton : 0.5 * (low + high);
  }
  for (std::size_t i = 0; i < laws.size(); ++i) into[i] = minutes_at(laws[i], high);
}

bool divide_in_time(std::span<const SearchLaw> laws, std::span<double> limits_min, std::span<double> into) {
  for (std::size_t i = laws.size(); i-- > 1;)
    limits_min[i - 1] = std::min(limits_min[i - 1], limits_min[i] - laws[i].least_min);
  double least_min = 0;
  for (std::size_t i = 0; i < laws.size(); ++i) {
    least_min += laws[i].least_min;
    if (least_min > limits_min[i]) return false;
  }
  divide_part(laws, limits_min, 0, into);
  return true;
}

}  // namespace stumpwise::walk
