#include "predictor.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "host_scale.h"

namespace stumpwise::ground {
namespace {

/// Standard normal quantile of 0.95.
constexpr double kQuantile95 = 1.6448536269514722;
/// Heights on Earth span less; a wider table is a mistake of the caller.
constexpr double kMostSpan_m = 20000;

constexpr auto kMost = static_cast<float>(kMostScales);

float clamp_z(float z) {
  return z != z ? 0.0f : std::min(std::max(z, -kMost), kMost);
}

float standard_z(double value, Covariate which) {
  const Standard& s = standards()[static_cast<std::size_t>(which)];
  return clamp_z(static_cast<float>((value - s.centre) / s.scale));
}

const float* values_or_null(const raster::Grid& grid) {
  return grid.values.empty() ? nullptr : grid.values.data();
}

}  // namespace

void require_index(const IndexByHeight& index) {
  const std::size_t n = index.elevation_m.size();
  const bool whole = n > 0 && index.index.size() == n && index.low90.size() == n && index.high90.size() == n;
  if (!whole)
    throw Error(ErrorCode::bad_value,
                "an index by height needs as many values and bands as heights, one at least");
  for (std::size_t i = 1; i < n; ++i)
    if (!(index.elevation_m[i] > index.elevation_m[i - 1]))
      throw Error(ErrorCode::bad_value, "the heights of an index must rise");
  if (index.elevation_m.back() - index.elevation_m.front() > kMostSpan_m)
    throw Error(ErrorCode::bad_value,
                fmt::format("the heights of an index span more than {:.0f} m", kMostSpan_m));
}

LogIndex log_index_at(const IndexByHeight& index, double elevation_m) {
  const auto& heights = index.elevation_m;
  auto at = [&](std::size_t i) {
    auto floored = [](double v) { return std::log(std::max(v, kIndexFloor)); };
    const double span = floored(index.high90[i]) - floored(index.low90[i]);
    return LogIndex{floored(index.index[i]), std::max(0.0, span) / (2 * kQuantile95)};
  };
  if (elevation_m <= heights.front()) return at(0);
  if (elevation_m >= heights.back()) return at(heights.size() - 1);
  const auto above = static_cast<std::size_t>(std::upper_bound(heights.begin(), heights.end(), elevation_m) -
                                              heights.begin());
  const double share = (elevation_m - heights[above - 1]) / (heights[above] - heights[above - 1]);
  const LogIndex a = at(above - 1), b = at(above);
  return {a.mean + (b.mean - a.mean) * share, a.sd + (b.sd - a.sd) * share};
}

LogIndexTable::LogIndexTable(const IndexByHeight& index) : low_m_(0), last_(0) {
  require_index(index);
  low_m_ = static_cast<float>(index.elevation_m.front());
  const double span_m = index.elevation_m.back() - index.elevation_m.front();
  last_ = static_cast<float>(span_m);
  const auto n = static_cast<std::size_t>(span_m) + 3;
  rows_.reserve(n);
  for (std::size_t i = 0; i < n; ++i) {
    const LogIndex row = log_index_at(index, index.elevation_m.front() + static_cast<double>(i));
    rows_.push_back({static_cast<float>(row.mean), static_cast<float>(row.sd)});
  }
}

Predictor::Predictor(const CovariateField& field, const Theta& theta)
    : field_(field),
      theta_(theta),
      elevation_(field.layers_->elevation_m.values.data()),
      cover_(field.layers_->cover.codes.data()),
      water_distance_(values_or_null(field.layers_->water_distance_m)),
      dead_records_(values_or_null(field.layers_->dead_wood_records)) {
  const Layers& l = *field.layers_;
  add_layer(l.wetness, Covariate::wetness);
  add_layer(l.heat_load, Covariate::heat_load);
  add_layer(l.slope_deg, Covariate::slope);
  add_layer(l.position_fine_m, Covariate::position_fine);
  add_layer(l.position_broad_m, Covariate::position_broad);
  add_layer(l.elevation_m, Covariate::elevation);
  for (std::size_t code = 0; code < class_value_.size(); ++code) {
    const double host = field.class_host_[code];
    class_host_z_[code] = field.has_hosts_ ? standard_z(host_log(host), Covariate::host) : 0;
    class_host_variance_[code] =
        field.has_hosts_ ? static_cast<float>(host_z_variance(host, field.class_host_variance_[code])) : 0;
    class_dead_z_[code] = standard_z(field.class_dead_wood_[code], Covariate::dead_wood);
    class_canopy_z_[code] = standard_z(field.class_canopy_[code], Covariate::canopy);
    class_value_[code] =
        static_cast<float>(theta[0] + theta[1] * class_host_z_[code] + theta[2] * class_dead_z_[code] +
                           theta[3] * class_canopy_z_[code]);
    water_[code] = field.class_water_[code];
  }
}

void Predictor::add_layer(const raster::Grid& grid, Covariate which) {
  if (grid.values.empty()) return;
  const auto k = static_cast<std::size_t>(which);
  const Standard& s = standards()[k];
  layers_.push_back({grid.values.data(), static_cast<float>(s.centre), static_cast<float>(1 / s.scale),
                     static_cast<float>(theta_[static_cast<Eigen::Index>(k) + 1]), k});
}

Predictor::Hosts Predictor::hosts_with_records(std::size_t cell) const {
  float bare = 1;
  for (const auto& [grid, weight] : field_.record_hosts_)
    bare *= 1 - static_cast<float>(weight) * grid->values[cell];
  const std::uint8_t code = cover_[cell];
  if (bare >= 1) return {class_host_z_[code], class_host_variance_[code]};
  return {standard_z(host_log(field_.host_cover(cell)), Covariate::host),
          static_cast<float>(field_.host_variance(cell))};
}

float Predictor::dead_wood_z(std::size_t cell) const {
  if (!dead_records_ || dead_records_[cell] <= 0) return class_dead_z_[cover_[cell]];
  return standard_z(field_.dead_wood(cell), Covariate::dead_wood);
}

float Predictor::value(std::size_t cell) const {
  const std::uint8_t code = cover_[cell];
  float sum = class_value_[code];
  if (!field_.record_hosts_.empty())
    sum += static_cast<float>(theta_[1]) * (hosts_with_records(cell).z - class_host_z_[code]);
  if (dead_records_) sum += static_cast<float>(theta_[2]) * (dead_wood_z(cell) - class_dead_z_[code]);
  for (const Layer& layer : layers_)
    sum += layer.b * clamp_z((layer.values[cell] - layer.centre) * layer.per_scale);
  if (water_distance_) {
    constexpr auto kLast = static_cast<std::size_t>(Covariate::water_distance);
    const Standard& s = standards()[kLast];
    const float z =
        (std::log(1 + water_distance_[cell]) - static_cast<float>(s.centre)) / static_cast<float>(s.scale);
    sum += static_cast<float>(theta_[kLast + 1]) * clamp_z(z);
  }
  return sum;
}

float Predictor::z(std::size_t cell, Vector& out) const {
  out.fill(0);
  const Hosts hosts = field_.record_hosts_.empty()
                          ? Hosts{class_host_z_[cover_[cell]], class_host_variance_[cover_[cell]]}
                          : hosts_with_records(cell);
  out[0] = hosts.z;
  out[1] = dead_wood_z(cell);
  out[2] = class_canopy_z_[cover_[cell]];
  for (const Layer& layer : layers_)
    out[layer.covariate] = clamp_z((layer.values[cell] - layer.centre) * layer.per_scale);
  if (water_distance_)
    out[kCovariates - 1] = standard_z(std::log(1 + water_distance_[cell]), Covariate::water_distance);
  return hosts.variance;
}

}  // namespace stumpwise::ground
