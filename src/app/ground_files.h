#pragma once
#include <filesystem>

#include "stumpwise/app/session.h"

namespace stumpwise::app {

/// Names of a ground's files inside NAME.files/GROUND/. What is imported is the user's; what is derived is
/// remade from it.
struct GroundFiles {
  std::filesystem::path folder;
  std::filesystem::path dem() const { return folder / "dem.tif"; }
  std::filesystem::path cover() const { return folder / "cover.tif"; }
  std::filesystem::path legend() const { return folder / "legend.toml"; }
  std::filesystem::path water() const {
    return folder / "water.tif";
  }  ///< 0 none, 1 stream, 2 river (a wall)
  std::filesystem::path trails() const { return folder / "trails.tif"; }  ///< 0 none, 1 trail, 2 bridge
  std::filesystem::path derived(const std::string& name) const {
    return folder / "derived" / (name + ".tif");
  }
};

/// Format version of the derived rasters: raise it when a formula or a parameter of derive() changes.
inline constexpr const char* kDerivedVersion = "1";

/// Reads a ground's layers, remaking each derived raster whose inputs or version changed.
GroundData read_ground(const GroundFiles& files, const records::GroundRecord& ground,
                       const std::vector<records::HostRecord>& hosts, const base::Progress& progress);

/// Slope above which ground counts as a cliff: nobody plans a walk over 45 degrees (common practice).
inline constexpr double kCliff_deg = 45.0;

}  // namespace stumpwise::app
