#pragma once
#include <array>
#include <map>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/raster/grid.h"
#include "stumpwise/species/profile.h"

namespace stumpwise::ground {

/// What a land-cover class means on the ground.
struct CoverClass {
  int value = 0;            ///< in the user's raster
  std::uint8_t code = 0;    ///< in the ground's class grid
  std::string name;
  double canopy = 0;        ///< share of sky covered, 0 to 1
  double dead_wood = 0;     ///< relative amount, 0 to 1
  bool water = false;       ///< cannot be walked
  bool trees_unspecified = false;  ///< "trees" only: own host records decide, the band is wide
  std::map<std::string, std::pair<double, double>> genera;  ///< share of ground under the genus: mean, sd
};
struct Legend { std::string name, source; std::vector<CoverClass> classes; };
/// TOML in legends/; every fault with its line.
Parsed<Legend> read_legend(const std::string& path);

/// The layers of one ground in memory.
struct Layers {
  raster::Georef georef;
  double latitude_deg = 0;
  raster::Grid elevation_m, slope_deg, aspect_deg, heat_load, wetness, position_fine_m, position_broad_m, water_distance_m;
  raster::ClassGrid cover;
  Legend legend;
  std::map<std::string, raster::Grid> host_records;  ///< genus to share of ground, only where records stand
  raster::Grid dead_wood_records;                    ///< 0 to 1 from records of dead trees and logs
};

/// Covariates of the prospect, in the order of the coefficients. Centres and scales are constants of the model version, the
/// same for every ground and person.
enum class Covariate { host, dead_wood, canopy, wetness, heat_load, slope, position_fine, position_broad, elevation, water_distance };
inline constexpr int kCovariates = 10;
struct Standard { const char* name; double centre, scale; };
const std::array<Standard, kCovariates>& standards();
inline constexpr const char* kModelVersion = "1";

/// z(x) of one species at every cell (standardised), and the variance of the host covariate from the legend's uncertainty.
class CovariateField {
 public:
  CovariateField(const Layers& layers, const species::Profile& profile);
  const raster::Georef& georef() const;
  /// False on nodata and water.
  bool defined(std::size_t cell) const;
  void z(std::size_t cell, std::array<double, kCovariates>& out) const;
  double host_variance(std::size_t cell) const;
  double elevation_m(std::size_t cell) const;
  /// True where a covariate lies outside the range over which the model version was made (3 scales from the centre).
  bool extrapolated(std::size_t cell) const;

 private:
  const Layers* layers_;
  std::vector<double> class_host_, class_host_variance_, class_canopy_, class_dead_wood_;
  std::vector<bool> class_water_;
  std::vector<std::pair<const raster::Grid*, double>> record_hosts_;
};

}  // namespace stumpwise::ground
