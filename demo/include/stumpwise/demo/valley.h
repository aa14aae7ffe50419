#pragma once
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/records/records.h"

namespace stumpwise::demo {

/// Files of the invented Ennoway Vale, as a user would have them, and the season's outings, for the real
/// import to read.
struct Valley {
  std::filesystem::path dem, cover, legend, hosts, streams, trails, access,
      history;                        ///< rasters GeoTIFF, layers GeoJSON
  std::filesystem::path weather_csv;  ///< 2023 to 2026, with a station gap
  std::string station_name;
  LatLon station;
  double station_elevation_m = 0;
  struct Trip {
    std::filesystem::path gpx;
    records::Outing outing;
  };  ///< outing without its track: the GPX holds it
  std::vector<Trip> trips;
};

/// Writes everything below `folder` from a seed; same seed, same bytes. The finds come from rules of this
/// file's own, not from the program's model, so that nothing fitted to them proves itself.
Valley make_valley(const std::filesystem::path& folder, std::uint64_t seed,
                   const base::Progress& progress = {});

}  // namespace stumpwise::demo
