#pragma once
#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/raster/grid.h"
#include "stumpwise/species/profile.h"

namespace stumpwise::ground {

/// What a land-cover class means on the ground.
struct CoverClass {
  int value = 0;          ///< in the user's raster
  std::uint8_t code = 0;  ///< in the ground's class grid
  std::string name;
  double canopy = 0;               ///< share of sky covered, 0 to 1
  double dead_wood = 0;            ///< relative amount, 0 to 1
  bool water = false;              ///< cannot be walked
  bool trees_unspecified = false;  ///< "trees" only: own host records decide, the band is wide
  std::map<std::string, std::pair<double, double>> genera;  ///< share of ground under the genus: mean, sd
};
struct Legend {
  std::string name, source;
  std::vector<CoverClass> classes;
};
/// TOML in legends/: `name`, `source`, and a [[class]] each with value (0 to 65535), name, canopy, and if
/// wished dead_wood, water, trees_unspecified, genera = { Genus = [mean share, sd] }. Codes 0 to 254 are
/// given in the order of the file. Every fault at once, with its line; a share of trees beyond the canopy is
/// a warning.
Parsed<Legend> read_legend(const std::string& path);

/// The layers of one ground in memory. Elevation and cover are needed; any other grid may be empty: not
/// known, and then its covariate is 0 everywhere.
struct Layers {
  raster::Georef georef;
  double latitude_deg = 0;
  raster::Grid elevation_m, slope_deg, aspect_deg, heat_load, wetness, position_fine_m, position_broad_m,
      water_distance_m;
  raster::ClassGrid cover;
  Legend legend;
  std::map<std::string, raster::Grid> host_records;  ///< genus to share of ground, only where records stand
  raster::Grid dead_wood_records;                    ///< 0 to 1 from records of dead trees and logs
};

/// A tree, log or stump of the user's records on the ground's plane.
struct HostPoint {
  std::string genus;  ///< "Ulmus", in any case
  double x_m = 0, y_m = 0, radius_m = 12;
  bool dead = false;
};
/// Adds discs with a soft edge: full within half the radius, falling to nothing at one and a half. Shares
/// join as 1 - (1-a)(1-b). What is smaller than a cell counts with its share of the cell. Points off the
/// ground change nothing; Error(bad_value) for a point without genus, with a radius outside 0.5 to 500 m or a
/// place that is no number.
void add_host_points(Layers& layers, const std::vector<HostPoint>& points);

/// Covariates of the prospect, in the order of the coefficients. Centres and scales are constants of the
/// model version, the same for every ground and person.
enum class Covariate {
  host,
  dead_wood,
  canopy,
  wetness,
  heat_load,
  slope,
  position_fine,
  position_broad,
  elevation,
  water_distance
};
inline constexpr int kCovariates = 10;
struct Standard {
  const char* name;
  double centre, scale;
};
const std::array<Standard, kCovariates>& standards();
inline constexpr const char* kModelVersion = "1";
/// Standardised covariates are held at this many scales on either side.
inline constexpr double kMostScales = 3;

/// z(x) of one species at every cell (standardised), and the variance of the host covariate from the legend's
/// uncertainty. Keeps a pointer to `layers`, which must outlive it.
class CovariateField {
 public:
  /// Error(internal) where a layer lies on other cells than the ground.
  CovariateField(const Layers& layers, const species::Profile& profile);
  const raster::Georef& georef() const { return layers_->georef; }
  /// False on nodata and water.
  bool defined(std::size_t cell) const;
  void z(std::size_t cell, std::array<double, kCovariates>& out) const;
  /// Variance of the standardised host covariate at a cell (delta method on the logarithm; never more than
  /// the covariate's whole span allows).
  double host_variance(std::size_t cell) const;
  /// Share of the ground under hosts, weighted by the profile, 0 to 1: class and own records joined.
  double host_cover(std::size_t cell) const;
  double elevation_m(std::size_t cell) const { return layers_->elevation_m.values[cell]; }
  /// True where slope, broad position or height lies over 3 scales from the centre of the model version, or
  /// no cover is known. There the covariate is held at its last value.
  bool extrapolated(std::size_t cell) const;

 private:
  friend class Predictor;  // the same sums in tables and float, for whole grids
  void set_class(const CoverClass& cover, const species::Profile& profile);
  double bare_of_records(std::size_t cell) const;
  double dead_wood(std::size_t cell) const;

  const Layers* layers_;
  bool has_hosts_;
  std::vector<double> class_host_, class_host_variance_, class_canopy_, class_dead_wood_;  // by code
  std::vector<bool> class_water_;
  std::vector<std::pair<const raster::Grid*, double>> record_hosts_;
};

}  // namespace stumpwise::ground
