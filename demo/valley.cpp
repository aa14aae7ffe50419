#include "stumpwise/demo/valley.h"

#include "relief.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::demo {
Valley make_valley(const std::filesystem::path& folder, std::uint64_t seed, const base::Progress& progress) {
  Valley valley;
  const Relief relief = make_relief(seed, progress);
  valley.dem = folder / "dem.tif";
  raster::write_geotiff(valley.dem, relief.elevation_m);
  return valley;
}
}  // namespace stumpwise::demo
