#pragma once
#include <algorithm>
#include <array>
#include <vector>

#include "stumpwise/ground/prospect.h"

namespace stumpwise::ground {

struct LogIndex {
  double mean = 0, sd = 0;
};
/// Log index and its spread (from the 90 % band) at a height. The table must have been checked.
LogIndex log_index_at(const IndexByHeight& index, double elevation_m);
/// Error(bad_value) for a table that is empty, ragged or not rising.
void require_index(const IndexByHeight& index);

/// log_index_at tabulated each metre of height and linear between, so that a million cells need no search.
class LogIndexTable {
 public:
  explicit LogIndexTable(const IndexByHeight& index);
  struct Row {
    float mean, sd;
  };
  Row at(float elevation_m) const {
    const float step = std::min(std::max(elevation_m - low_m_, 0.0f), last_);
    const auto below = static_cast<std::size_t>(step);
    const float share = step - static_cast<float>(below);
    const Row &a = rows_[below], &b = rows_[below + 1];
    return {a.mean + share * (b.mean - a.mean), a.sd + share * (b.sd - a.sd)};
  }

 private:
  float low_m_, last_;
  std::vector<Row> rows_;
};

/// Covariates of whole grids in float, everything that hangs on the cover class alone from tables.
class Predictor {
 public:
  using Vector = std::array<float, kCovariates>;
  explicit Predictor(const CovariateField& field, const Theta& theta);
  bool defined(std::size_t cell) const {
    const float height = elevation_[cell];
    return height == height && !water_[cover_[cell]];
  }
  float elevation_m(std::size_t cell) const { return elevation_[cell]; }
  /// a + b.z at a defined cell.
  float value(std::size_t cell) const;
  /// z at a defined cell, and the variance of the host covariate.
  float z(std::size_t cell, Vector& out) const;

 private:
  struct Layer {
    const float* values;
    float centre, per_scale, b;
    std::size_t covariate;
  };
  struct Hosts {
    float z, variance;
  };
  void add_layer(const raster::Grid& grid, Covariate which);
  Hosts hosts_with_records(std::size_t cell) const;
  float dead_wood_z(std::size_t cell) const;

  const CovariateField& field_;
  Theta theta_;
  const float* elevation_;
  const std::uint8_t* cover_;
  const float* water_distance_;
  const float* dead_records_;
  std::vector<Layer> layers_;
  std::array<float, 256> class_value_{}, class_host_z_{}, class_host_variance_{}, class_dead_z_{},
      class_canopy_z_{};
  std::array<bool, 256> water_{};
};

}  // namespace stumpwise::ground
