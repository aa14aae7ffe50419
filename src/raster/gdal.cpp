#include "gdal.h"

#include <filesystem>
#include <mutex>

#include "stumpwise/base/text.h"

namespace stumpwise::raster {
namespace {

/// A zip with one raster inside may be named as it is: GDAL wants its own prefix.
std::string gdal_path(const std::string& path) {
  const std::string ending = base::lower(std::filesystem::path(path).extension().string());
  return ending == ".zip" && path.rfind("/vsi", 0) != 0 ? "/vsizip/" + path : path;
}

void require_there(const std::string& path) {
  if (path.rfind("/vsi", 0) == 0) return;
  std::error_code error;
  if (!std::filesystem::exists(path, error)) throw Error(ErrorCode::unreadable, base::printable(path) + ": there is no such file");
}

Dataset open(const std::string& path, unsigned kind, const char* what) {
  start_gdal();
  require_there(path);
  const GdalErrors errors;
  Dataset dataset(GDALDataset::Open(gdal_path(path).c_str(), kind | GDAL_OF_READONLY));
  if (!dataset)
    throw Error(ErrorCode::unreadable, base::printable(path) + ": cannot be read as " + what + (errors.text().empty() ? "" : ": " + base::printable(errors.text())),
                "Check that the file is whole and of a format that GDAL reads.");
  return dataset;
}

}  // namespace

void start_gdal() {
  static std::once_flag once;
  std::call_once(once, [] {
    GDALAllRegister();
    CPLSetConfigOption("GDAL_PAM_ENABLED", "NO");  // no .aux.xml files beside the user's data
    CPLSetConfigOption("OSR_DEFAULT_AXIS_MAPPING_STRATEGY", "TRADITIONAL_GIS_ORDER");
  });
}

GdalErrors::GdalErrors() { CPLPushErrorHandlerEx(&GdalErrors::on_error, this); }
GdalErrors::~GdalErrors() { CPLPopErrorHandler(); }

void CPL_STDCALL GdalErrors::on_error(CPLErr level, CPLErrorNum, const char* message) {
  auto* self = static_cast<GdalErrors*>(CPLGetErrorHandlerUserData());
  if (level < CE_Failure || !self) return;
  self->failed_ = true;
  if (self->text_.empty()) self->text_ = message;
}

Dataset open_raster(const std::string& path) { return open(path, GDAL_OF_RASTER, "a raster"); }
Dataset open_vector(const std::string& path) { return open(path, GDAL_OF_VECTOR, "a vector layer"); }

OGRSpatialReference reference_of(int epsg) {
  start_gdal();
  OGRSpatialReference reference;
  reference.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  if (reference.importFromEPSG(epsg) != OGRERR_NONE) throw Error(ErrorCode::bad_value, "EPSG:" + std::to_string(epsg) + " is not known");
  return reference;
}

}  // namespace stumpwise::raster
