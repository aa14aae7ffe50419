#pragma once
#include "stumpwise/base/angle.h"

namespace stumpwise::demo {

/// A named place of the invented Ennoway Vale (it lies in the open sea). The height is that of make_valley's
/// DEM within 15 m, for every seed.
struct Site {
  const char* name;
  LatLon place;
  double elevation_m;
};

inline constexpr Site kTarnwickWood{
    "Tarnwick Wood", {.lat_deg = 41.98934, .lon_deg = -29.97349}, 310};  ///< dead elms
inline constexpr Site kLanternRidge{
    "Lantern Ridge", {.lat_deg = 42.01810, .lon_deg = -30.00985}, 450};  ///< oak and beech
inline constexpr Site kColdStoop{
    "Cold Stoop", {.lat_deg = 41.98112, .lon_deg = -29.94293}, 620};  ///< spruce and hemlock
inline constexpr Site kHobbsOrchard{
    "Hobb's Orchard", {.lat_deg = 42.00250, .lon_deg = -30.02119}, 260};  ///< old apple trees

/// Where outings start; nobody's walls lie between any of them and the bridge. The height of these follows
/// the seed.
struct CarPark {
  const char* name;
  LatLon place;
};
inline constexpr CarPark kBridgeGreen{
    "Bridge Green", {.lat_deg = 42.00000, .lon_deg = -30.00000}};  ///< north bank, by the bridge
inline constexpr CarPark kTarnwickLane{"Tarnwick Lane end",
                                       {.lat_deg = 41.99531, .lon_deg = -29.96894}};  ///< south bank
inline constexpr CarPark kLanternGate{
    "Lantern Gate", {.lat_deg = 42.01125, .lon_deg = -30.01375}};  ///< north side, below the ridge

/// The elm at Tarnwick Wood that fruits in the springs of 2023, 2024 and 2025 and is spent in 2026.
inline constexpr LatLon kSpentElm{.lat_deg = 41.98990, .lon_deg = -29.97260};

/// The one bridge over the river, on its middle within 60 m.
inline constexpr LatLon kEnnowayBridge{.lat_deg = 41.99740, .lon_deg = -29.99790};

inline constexpr const char* kGroundName = "ennoway";
inline constexpr const char* kZone = "America/Nuuk";
inline constexpr const char* kRegion = "EU+NA-E";

}  // namespace stumpwise::demo
