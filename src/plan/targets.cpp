#include "stumpwise/plan/targets.h"

#include <algorithm>
#include <cmath>

#include "stumpwise/base/parallel.h"
#include "stumpwise/base/units.h"

namespace stumpwise::plan {
namespace {

constexpr double kIndexFloor = 0.001;
/// Standard normal quantile of 0.95.
constexpr double kQuantile95 = 1.6448536269514722;

double g_of(const Target& target) {
  return target.coefficients.mean[ground::kTheta - 1];
}

/// index^g by height in steps of a metre, so that a million cells need no logarithm.
class FactorTable {
 public:
  FactorTable(const Target& target, const std::vector<std::size_t>& days, double low_m, double high_m)
      : low_m_(low_m), factors_(static_cast<std::size_t>(std::max(0.0, high_m - low_m)) + 2) {
    for (std::size_t i = 0; i < factors_.size(); ++i) {
      double sum = 0;
      for (std::size_t day : days)
        sum += std::pow(index_at(target.index_by_day[day], low_m_ + static_cast<double>(i)), g_of(target));
      factors_[i] = static_cast<float>(sum / static_cast<double>(days.size()));
    }
  }
  float at(float elevation_m) const {
    const double step = elevation_m - low_m_;
    return factors_[std::clamp<std::size_t>(step > 0 ? static_cast<std::size_t>(step + 0.5) : 0, 0,
                                            factors_.size() - 1)];
  }

 private:
  double low_m_;
  std::vector<float> factors_;
};

}  // namespace

double index_at(const ground::IndexByHeight& index, double elevation_m) {
  const auto& heights = index.elevation_m;
  const auto floored = [&](std::size_t i) { return std::max(index.index[i], kIndexFloor); };
  if (elevation_m <= heights.front()) return floored(0);
  if (elevation_m >= heights.back()) return floored(heights.size() - 1);
  const std::size_t above = static_cast<std::size_t>(
      std::upper_bound(heights.begin(), heights.end(), elevation_m) - heights.begin());
  const double share = (elevation_m - heights[above - 1]) / (heights[above] - heights[above - 1]);
  return std::exp((1 - share) * std::log(floored(above - 1)) + share * std::log(floored(above)));
}

void prepare(std::vector<Target>& targets, int threads) {
  for (Target& target : targets) {
    const ground::IndexByHeight one{{0.0}, {1.0}, {1.0}, {1.0}};
    target.at_index_one = ground::prospect_median(target.field, target.coefficients, one, threads);
  }
}

raster::Grid joint_map(const std::vector<Target>& targets, int threads) {
  raster::Grid sum(targets.front().at_index_one.georef, raster::Quantity::finds_per_ha, 0);
  for (const Target& target : targets) {
    std::vector<std::size_t> days(target.index_by_day.size());
    for (std::size_t i = 0; i < days.size(); ++i) days[i] = i;
    const auto& heights = target.index_by_day.front().elevation_m;
    const FactorTable factors(target, days, heights.front(), heights.back());
    base::parallel_ranges(sum.values.size(), threads, [&](std::size_t begin, std::size_t end) {
      for (std::size_t cell = begin; cell < end; ++cell)
        sum.values[cell] +=
            target.at_index_one.values[cell] * factors.at(static_cast<float>(target.field.elevation_m(cell)));
    });
  }
  return sum;
}

PatchExpectation expectation(const std::vector<Target>& targets, const std::vector<walk::Patch>& patches,
                             std::size_t day) {
  PatchExpectation result;
  result.median.assign(patches.size(), 0);
  result.low90 = result.high90 = result.median;
  for (const Target& target : targets) {
    const raster::Georef& georef = target.field.georef();
    const double cell_ha = georef.cell_m * georef.cell_m / base::kSquareMetresPerHectare;
    const auto& index = target.index_by_day[day];
    const FactorTable factors(target, {day}, index.elevation_m.front(), index.elevation_m.back());
    result.by_target.emplace_back(patches.size(), 0.0);
    for (std::size_t p = 0; p < patches.size(); ++p) {
      double n = 0;
      for (std::size_t cell : patches[p].cells) {
        const double density =
            target.at_index_one.values[cell] * factors.at(static_cast<float>(target.field.elevation_m(cell)));
        if (std::isfinite(density)) n += density * cell_ha;
      }
      const std::size_t centre =
          georef.index(georef.col_of(patches[p].centre.x_m), georef.row_of(patches[p].centre.y_m));
      const std::size_t known =
          target.field.defined(centre) || patches[p].cells.empty() ? centre : patches[p].cells.front();
      const double spread =
          std::exp(kQuantile95 * ground::log_sd(target.field, target.coefficients, index, known));
      result.by_target.back()[p] = n;
      result.median[p] += n;
      result.low90[p] += n / spread;
      result.high90[p] += n * spread;
    }
  }
  return result;
}

}  // namespace stumpwise::plan
