#pragma once
// Private to raster: GDAL's handles wrapped once, and its error texts caught instead of printed.
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <memory>
#include <string>

#include "stumpwise/base/error.h"

namespace stumpwise::raster {

struct DatasetCloser {
  void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};
using Dataset = std::unique_ptr<GDALDataset, DatasetCloser>;

/// Registers the drivers once and switches GDAL's exceptions-by-stderr off.
void start_gdal();

/// Keeps GDAL's error texts of one thread while it lives; nothing reaches stderr.
class GdalErrors {
 public:
  GdalErrors();
  ~GdalErrors();
  GdalErrors(const GdalErrors&) = delete;
  GdalErrors& operator=(const GdalErrors&) = delete;
  const std::string& text() const { return text_; }
  bool failed() const { return failed_; }

 private:
  static void CPL_STDCALL on_error(CPLErr level, CPLErrorNum number, const char* message);
  std::string text_;
  bool failed_ = false;
};

/// Opens for reading; Error(unreadable) with GDAL's own words.
Dataset open_raster(const std::string& path);
Dataset open_vector(const std::string& path);
/// The reference system of a code, in the axis order x, y.
OGRSpatialReference reference_of(int epsg);

}  // namespace stumpwise::raster
