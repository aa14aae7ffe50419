#include "stumpwise/ground/layers.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "host_scale.h"

namespace stumpwise::ground {
namespace {

constexpr std::size_t kCodes = 256;

const Standard& standard(Covariate which) {
  return standards()[static_cast<std::size_t>(which)];
}

double standardised(double value, const Standard& s) {
  const double z = (value - s.centre) / s.scale;
  return std::isnan(z) ? 0 : std::clamp(z, -kMostScales, kMostScales);
}

/// NaN where the layer is not known.
double value_at(const raster::Grid& grid, std::size_t cell) {
  return grid.values.empty() ? std::nan("") : grid.values[cell];
}

void require_on(const raster::Georef& georef, const raster::Grid& grid) {
  if (!grid.values.empty()) raster::require_same(georef, grid.georef);
}

}  // namespace

const std::array<Standard, kCovariates>& standards() {
  // Model version 1. About the middle and the spread of wooded temperate hill country (assumption), so that
  // typical grounds lie within 2 scales of the centre and nearly all within 3. They are the same for every
  // ground and person: coefficients learned in one valley then speak of the same things in another.
  static const std::array<Standard, kCovariates> kStandards{{
      {"host", -1.0,
       0.7},  // log10(0.005 + weighted host cover): centre a tenth of the ground; none -1.9, all 1.4
      {"dead_wood", 0.2, 0.3},  // relative amount 0 to 1: a tended wood 0.2; a recorded log at hand 2.7
      {"canopy", 0.6, 0.3},     // share of sky covered: open -2, closed 1.3
      {"wetness", 6.5, 2.0},    // ln(a / tan beta) on 10 m cells: ridge about 4, valley floor 10 and more
      {"heat_load", 0.75,
       0.15},  // eq. 1 of McCune & Keon 2002 as exp(): level ground at 42 N 0.75, steep north 0.4
      {"slope", 12.0, 9.0},           // degrees: level -1.3, 30 degrees 2
      {"position_fine", 0.0, 5.0},    // metres above the mean of the near surroundings
      {"position_broad", 0.0, 50.0},  // metres above the mean of the wide surroundings
      {"elevation", 700.0, 600.0},    // metres: sea level -1.2, 1900 m 2
      {"water_distance", 5.0, 1.3},   // ln(1 + metres): centre 147 m, 2 km 2
  }};
  return kStandards;
}

CovariateField::CovariateField(const Layers& layers, const species::Profile& profile)
    : layers_(&layers), has_hosts_(!profile.hosts.empty()) {
  for (const raster::Grid* grid :
       {&layers.elevation_m, &layers.slope_deg, &layers.heat_load, &layers.wetness, &layers.position_fine_m,
        &layers.position_broad_m, &layers.water_distance_m, &layers.dead_wood_records})
    require_on(layers.georef, *grid);
  if (layers.elevation_m.values.size() != layers.georef.size() ||
      layers.cover.codes.size() != layers.georef.size())
    throw Error(ErrorCode::internal, "the ground's elevation or cover does not lie on its cells");
  class_host_.assign(kCodes, kUnknownHost);
  class_host_variance_.assign(kCodes, kUnknownHostSd * kUnknownHostSd);
  class_canopy_.assign(kCodes, standard(Covariate::canopy).centre);
  class_dead_wood_.assign(kCodes, standard(Covariate::dead_wood).centre);
  class_water_.assign(kCodes, false);
  for (const CoverClass& cover : layers.legend.classes) set_class(cover, profile);
  for (const species::HostWeight& weight : profile.hosts) {
    const auto records = layers.host_records.find(weight.genus);
    if (records == layers.host_records.end()) continue;
    require_on(layers.georef, records->second);
    record_hosts_.emplace_back(&records->second, weight.weight);
  }
}

void CovariateField::set_class(const CoverClass& cover, const species::Profile& profile) {
  double host = 0, variance = 0, best_weight = 0;
  for (const species::HostWeight& weight : profile.hosts) {
    best_weight = std::max(best_weight, weight.weight);
    const auto genus = cover.genera.find(weight.genus);
    if (genus == cover.genera.end()) continue;
    host += weight.weight * genus->second.first;
    variance += weight.weight * weight.weight * genus->second.second * genus->second.second;
  }
  if (cover.trees_unspecified) {
    // Anything between no host and a canopy of the best: the variance of a uniform on that span.
    const double span = best_weight * cover.canopy;
    variance += span * span / 12;
  }
  class_host_[cover.code] = std::min(1.0, host);
  class_host_variance_[cover.code] = variance;
  class_canopy_[cover.code] = cover.canopy;
  class_dead_wood_[cover.code] = cover.dead_wood;
  class_water_[cover.code] = cover.water;
}

bool CovariateField::defined(std::size_t cell) const {
  return !std::isnan(layers_->elevation_m.values[cell]) && !class_water_[layers_->cover.codes[cell]];
}

double CovariateField::bare_of_records(std::size_t cell) const {
  double bare = 1;
  for (const auto& [grid, weight] : record_hosts_) bare *= 1 - weight * grid->values[cell];
  return std::max(0.0, bare);
}

double CovariateField::host_cover(std::size_t cell) const {
  return 1 - (1 - class_host_[layers_->cover.codes[cell]]) * bare_of_records(cell);
}

double CovariateField::dead_wood(std::size_t cell) const {
  const double of_class = class_dead_wood_[layers_->cover.codes[cell]];
  const auto& records = layers_->dead_wood_records.values;
  return records.empty() ? of_class : 1 - (1 - of_class) * (1 - records[cell]);
}

void CovariateField::z(std::size_t cell, std::array<double, kCovariates>& out) const {
  const Layers& l = *layers_;
  const double values[kCovariates] = {
      has_hosts_ ? host_log(host_cover(cell)) : standard(Covariate::host).centre,
      dead_wood(cell),
      class_canopy_[l.cover.codes[cell]],
      value_at(l.wetness, cell),
      value_at(l.heat_load, cell),
      value_at(l.slope_deg, cell),
      value_at(l.position_fine_m, cell),
      value_at(l.position_broad_m, cell),
      value_at(l.elevation_m, cell),
      std::log1p(value_at(l.water_distance_m, cell))};
  for (std::size_t k = 0; k < kCovariates; ++k) out[k] = standardised(values[k], standards()[k]);
}

double CovariateField::host_variance(std::size_t cell) const {
  if (!has_hosts_) return 0;
  const double bare = bare_of_records(cell);  // a record at hand leaves the class less to be unsure of
  const double of_class = class_host_variance_[layers_->cover.codes[cell]];
  return host_z_variance(host_cover(cell), of_class * bare * bare);
}

bool CovariateField::extrapolated(std::size_t cell) const {
  if (layers_->cover.codes[cell] == raster::ClassGrid::kNone) return true;
  auto far = [&](const raster::Grid& grid, Covariate which) {
    return std::abs(value_at(grid, cell) - standard(which).centre) > kMostScales * standard(which).scale;
  };
  return far(layers_->slope_deg, Covariate::slope) ||
         far(layers_->position_broad_m, Covariate::position_broad) ||
         far(layers_->elevation_m, Covariate::elevation);
}

}  // namespace stumpwise::ground
