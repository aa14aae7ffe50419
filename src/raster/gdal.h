#pragma once
// Private to raster: GDAL's handles wrapped once, and its error texts caught instead of printed.
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "stumpwise/base/error.h"
#include "stumpwise/raster/grid.h"

namespace stumpwise::raster {

struct DatasetCloser {
  void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};
using Dataset = std::unique_ptr<GDALDataset, DatasetCloser>;

/// Options as GDAL wants them ("KEY=VALUE"), freed at the end.
class Options {
 public:
  Options(std::initializer_list<std::pair<const char*, std::string>> pairs);
  ~Options() { CSLDestroy(list_); }
  Options(const Options&) = delete;
  Options& operator=(const Options&) = delete;
  char** list() const { return list_; }

 private:
  char** list_ = nullptr;
};

/// Registers the drivers once. From then on nothing that GDAL says reaches stderr (STUMPWISE_LOG=debug shows
/// it).
void start_gdal();

/// Keeps GDAL's error texts of one thread while it lives.
class GdalErrors {
 public:
  GdalErrors();
  ~GdalErrors();
  GdalErrors(const GdalErrors&) = delete;
  GdalErrors& operator=(const GdalErrors&) = delete;
  /// The first error, printable; empty where there was none.
  std::string text() const;
  bool failed() const { return failed_; }

 private:
  static void CPL_STDCALL on_error(CPLErr level, CPLErrorNum number, const char* message);
  std::string text_;
  bool failed_ = false;
};

/// Opens for reading; Error(unreadable) with GDAL's own words. Every call opens a handle of its own: a handle
/// belongs to one thread. Paths into the network are refused: the program works offline.
Dataset open_raster(const std::string& path);
Dataset open_vector(const std::string& path);
/// The reference system of a code, in the axis order x, y.
OGRSpatialReference reference_of(int epsg);
/// A copy of `reference` in the axis order x, y.
OGRSpatialReference traditional(const OGRSpatialReference& reference);
/// Sets geotransform and reference (none where epsg is 0).
void place_on(GDALDataset& dataset, const Georef& georef);
/// A dataset of one or more bands over memory that the caller owns and keeps: nothing is copied.
Dataset over_memory(const Georef& georef, GDALDataType type, const std::vector<void*>& bands);

/// Rows of a block of at most 16 MiB, a multiple of 256 where the grid has that many: memory is bounded by
/// the block.
int block_rows(int cols, std::size_t bytes_per_cell);
/// body(first_row, rows) for each block, with check_interrupt() between them.
void for_blocks(int cols, int rows, std::size_t bytes_per_cell, const std::function<void(int, int)>& body);

/// GDAL's progress callback that stops on Ctrl-C.
int CPL_STDCALL stop_on_interrupt(double share, const char* message, void* data);

}  // namespace stumpwise::raster
