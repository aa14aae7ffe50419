#pragma once
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/issues.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::raster {

/// What a raster file says of itself, before anything is read.
struct RasterInfo {
  std::string path;
  int cols = 0, rows = 0, bands = 0;
  bool has_crs = false;
  bool geographic = false;
  std::string crs_name;
  LatLon south_west, north_east;  ///< bounding box on WGS 84
  std::vector<LatLon>
      outline;           ///< points along the file's edge, so that its extent on another plane is exact
  double cell_m = 0;     ///< size of a cell at the centre, metres
  double unit_to_m = 1;  ///< vertical unit that the file declares, to metres
  bool unit_declared = false;
};
/// Throws Error(unreadable) for a missing or damaged file or one that is no raster, Error(bad_format) for one
/// without a coordinate system. GDAL reads it, so a tile inside a .zip may be given as "x.zip" (its single
/// raster) or
/// "/vsizip/x.zip/inside.tif". A file that is cut off behind its header is found when its values are read.
RasterInfo raster_info(const std::string& path);

/// How a DEM is brought onto a ground's grid.
struct WarpRequest {
  std::vector<std::string> files;  ///< several tiles: later ones fill what earlier ones leave empty
  Georef target;
  bool average = false;  ///< average when the source is finer than half a target cell, else bilinear
  double scale = 1;      ///< multiplies the values (0.3048 for feet)
};
/// Warps band 1 of continuous values in blocks; memory is bounded by the block plus the result. A band's own
/// scale and offset are applied; declared nodata, NaN and values beyond +-1e30 are holes. Truncated tiles are
/// an Error(unreadable), a file without a coordinate system an Error(bad_format), no common land an
/// Error(no_overlap). Tiles that do not touch the target are not read.
Grid warp_values(const WarpRequest& request, Quantity quantity, const base::Progress& progress = {});
/// Warps class codes by nearest neighbour onto `target` through `code_map` (source value to code); what is
/// nodata or not in the map is kNone. Errors as warp_values.
ClassGrid warp_classes(const std::vector<std::string>& files, const Georef& target,
                       const std::map<int, std::uint8_t>& code_map, const base::Progress& progress = {});

/// Grid over the union of the files (or the square of `radius_km` about `around` cut out of it), snapped to
/// whole cells of `cell_m`, in the WGS 84 UTM zone of its centre (of `around` where given). Error(no_overlap)
/// where `around` lies outside the files, Error(bad_value) for more than 12 degrees of land, which no UTM
/// zone draws well.
Georef ground_georef(const std::vector<RasterInfo>& files, double cell_m, std::optional<LatLon> around,
                     double radius_km);

/// A derived raster knows what it was made from.
struct Provenance {
  std::string format_version;                 ///< of the code that made it
  std::map<std::string, std::string> inputs;  ///< name to SHA-256 of each input
  bool operator==(const Provenance&) const = default;
};
struct Band {
  std::string name;
  const Grid* grid = nullptr;
};
/// Writes a Cloud-Optimised GeoTIFF (Float32, nodata NaN, DEFLATE), atomically, with band names, quantity and
/// provenance in its metadata. The grids must lie on the same cells.
void write_cog(const std::filesystem::path& path, const std::vector<Band>& bands,
               const Provenance& provenance, const std::map<std::string, std::string>& metadata = {});
void write_cog(const std::filesystem::path& path, const ClassGrid& classes, const Provenance& provenance);
/// Plain tiled GeoTIFF, Float32, with the nodata value given (NaN by default).
void write_geotiff(const std::filesystem::path& path, const Grid& grid, float nodata = std::nanf(""));

/// Reads a band (1-based) of a metric north-up raster of square cells without resampling; Error(bad_format)
/// for another. Band scale and offset are applied; declared nodata becomes NaN. epsg is 0 where the file's
/// system has no code.
Grid read_grid(const std::filesystem::path& path, int band = 1);
ClassGrid read_classes(const std::filesystem::path& path);
/// Provenance of a file written by write_cog; nothing where it has none or does not exist.
std::optional<Provenance> read_provenance(const std::filesystem::path& path);

}  // namespace stumpwise::raster
