#pragma once
#include <memory>
#include <string>
#include <vector>

#include "stumpwise/ground/prospect.h"
#include "stumpwise/season/index.h"
#include "stumpwise/walk/route.h"

namespace stumpwise::plan {

/// One species that is looked for: where it may stand (its prospect at index 1) and how its index runs by day
/// and height.
struct Target {
  std::string id, name;
  ground::CovariateField field;
  ground::Coefficients coefficients;
  species::GroundPrior search;                      ///< sweep width, speed, dispersion
  std::vector<ground::IndexByHeight> index_by_day;  ///< one for each day of the request
  raster::Grid at_index_one;  ///< median finds per hectare with index 1, made by `prepare`
};

/// Expected finds standing in each patch on one day, all targets together, with the 90 % interval. The
/// targets' errors are taken as one (they share the weather and the map), so the ends of their intervals are
/// added: wider than independence.
struct PatchExpectation {
  std::vector<double> median, low90, high90;
  std::vector<std::vector<double>> by_target;  ///< [target][patch] medians
};

/// Computes `at_index_one` of every target.
void prepare(std::vector<Target>& targets, int threads);

/// Sum of the targets' medians with each index averaged over the days: the map that patches are cut from.
raster::Grid joint_map(const std::vector<Target>& targets, int threads);

PatchExpectation expectation(const std::vector<Target>& targets, const std::vector<walk::Patch>& patches,
                             std::size_t day);

/// The index of the day at a height: log-linear between the heights, floored at 0.001 (design.md section 2).
double index_at(const ground::IndexByHeight& index, double elevation_m);

}  // namespace stumpwise::plan
