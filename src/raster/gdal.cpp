#include "gdal.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <mutex>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/log.h"
#include "stumpwise/base/text.h"

namespace stumpwise::raster {
namespace {

constexpr std::size_t kBlockBytes = std::size_t{16} << 20;
/// Drivers that would reach for the network on what a file says.
constexpr const char* kNetworkDrivers =
    "HTTP WMS WMTS WCS OGCAPI STACTA STACIT EEDA EEDAI PLMOSAIC NGW DAAS PLSCENES CSW WFS OAPIF CARTO "
    "AMIGOCLOUD ELASTIC";
/// Virtual file systems that read plain files of this machine.
constexpr const char* kLocalPrefixes[] = {"/vsizip/", "/vsigzip/", "/vsitar/", "/vsimem/"};

void CPL_STDCALL to_log(CPLErr, CPLErrorNum, const char* message) {
  base::log_debug(std::string("gdal: ") + base::printable(message));
}

bool virtual_path(const std::string& path) {
  return path.rfind("/vsi", 0) == 0;
}

void require_local(const std::string& path) {
  if (!virtual_path(path)) return;
  const bool local = std::any_of(std::begin(kLocalPrefixes), std::end(kLocalPrefixes),
                                 [&](const char* prefix) { return path.rfind(prefix, 0) == 0; });
  const std::size_t inner = path.find("/vsi", 1);
  if (local && inner == std::string::npos) return;
  throw Error(ErrorCode::bad_value, base::printable(path) + ": is no file of this machine",
              "Only plain files and /vsizip/, /vsigzip/ and /vsitar/ are read: fetch it first.");
}

void require_there(const std::string& path) {
  if (virtual_path(path)) return;
  std::error_code error;
  if (!std::filesystem::exists(path, error))
    throw Error(ErrorCode::unreadable, base::printable(path) + ": there is no such file",
                "Check the path and its spelling.");
}

/// Files inside a zip that GDAL can open as what is wanted.
std::vector<std::string> openable_in_zip(const std::string& zip, unsigned kind) {
  const std::string root = "/vsizip/" + zip;
  std::vector<std::string> found;
  char** names = VSIReadDirRecursive(root.c_str());
  for (char** name = names; name && *name; ++name) {
    const std::string inside = root + "/" + *name;
    if (inside.back() == '/') continue;
    if (GDALIdentifyDriverEx(inside.c_str(), kind, nullptr, nullptr)) found.push_back(inside);
  }
  CSLDestroy(names);
  return found;
}

/// A zip may be named as it is where it holds a single raster (or vector file).
std::string gdal_path(const std::string& path, unsigned kind, const char* what) {
  const std::string ending = base::lower(std::filesystem::path(path).extension().string());
  if (ending != ".zip" || virtual_path(path)) return path;
  const std::vector<std::string> found = openable_in_zip(path, kind);
  if (found.size() == 1) return found.front();
  if (found.empty())
    throw Error(ErrorCode::unreadable,
                fmt::format("{}: the zip is damaged or holds no {}", base::printable(path), what),
                "Unpack it and name the file itself.");
  std::string names;
  for (std::size_t i = 0; i < std::min<std::size_t>(found.size(), 5); ++i)
    names += (i ? ", " : "") + found[i];
  throw Error(ErrorCode::bad_value,
              fmt::format("{}: the zip holds {} files of that kind", base::printable(path), found.size()),
              "Name those you mean: " + base::printable(names) + (found.size() > 5 ? ", ..." : ""));
}

Dataset open(const std::string& path, unsigned kind, const char* what) {
  start_gdal();
  require_local(path);
  require_there(path);
  const GdalErrors errors;
  Dataset dataset(GDALDataset::Open(gdal_path(path, kind, what).c_str(), kind | GDAL_OF_READONLY));
  if (!dataset)
    throw Error(ErrorCode::unreadable,
                fmt::format("{}: cannot be read as a {}{}{}", base::printable(path), what,
                            errors.failed() ? ": " : "", errors.text()),
                "Check that the file is whole and of a format that GDAL reads.");
  return dataset;
}

}  // namespace

Options::Options(std::initializer_list<std::pair<const char*, std::string>> pairs) {
  for (const auto& [key, value] : pairs) list_ = CSLSetNameValue(list_, key, value.c_str());
}

void start_gdal() {
  static std::once_flag once;
  std::call_once(once, [] {
    CPLSetErrorHandler(to_log);
    CPLSetConfigOption("GDAL_SKIP", kNetworkDrivers);
    CPLSetConfigOption("OGR_SKIP", kNetworkDrivers);
    GDALAllRegister();
    CPLSetConfigOption("GDAL_PAM_ENABLED", "NO");      // no .aux.xml files beside the user's data
    CPLSetConfigOption("RAW_CHECK_FILE_SIZE", "YES");  // else a cut-off raw raster reads as zeros
    CPLSetConfigOption("OSR_DEFAULT_AXIS_MAPPING_STRATEGY", "TRADITIONAL_GIS_ORDER");
  });
}

GdalErrors::GdalErrors() {
  CPLPushErrorHandlerEx(&GdalErrors::on_error, this);
}
GdalErrors::~GdalErrors() {
  CPLPopErrorHandler();
}
std::string GdalErrors::text() const {
  return base::printable(text_);
}

void CPL_STDCALL GdalErrors::on_error(CPLErr level, CPLErrorNum number, const char* message) {
  auto* self = static_cast<GdalErrors*>(CPLGetErrorHandlerUserData());
  to_log(level, number, message);
  if (level < CE_Failure || !self) return;
  self->failed_ = true;
  if (self->text_.empty()) self->text_ = message;
}

Dataset open_raster(const std::string& path) {
  return open(path, GDAL_OF_RASTER, "raster");
}
Dataset open_vector(const std::string& path) {
  return open(path, GDAL_OF_VECTOR, "vector file");
}

OGRSpatialReference reference_of(int epsg) {
  start_gdal();
  OGRSpatialReference reference;
  const GdalErrors errors;
  if (reference.importFromEPSG(epsg) != OGRERR_NONE)
    throw Error(ErrorCode::bad_value, "EPSG:" + std::to_string(epsg) + " is not known");
  reference.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  return reference;
}

OGRSpatialReference traditional(const OGRSpatialReference& reference) {
  OGRSpatialReference copy(reference);
  copy.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  return copy;
}

void place_on(GDALDataset& dataset, const Georef& georef) {
  double transform[6] = {georef.left_m, georef.cell_m, 0, georef.top_m, 0, -georef.cell_m};
  dataset.SetGeoTransform(transform);
  if (georef.epsg == 0) return;
  const OGRSpatialReference reference = reference_of(georef.epsg);
  dataset.SetSpatialRef(&reference);
}

Dataset over_memory(const Georef& georef, GDALDataType type, const std::vector<void*>& bands) {
  start_gdal();
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("MEM");
  if (!driver) throw Error(ErrorCode::internal, "GDAL lacks its driver MEM");
  Dataset dataset(driver->Create("", georef.cols, georef.rows, 0, type, nullptr));
  if (!dataset)
    throw Error(ErrorCode::internal, fmt::format("no raster of {} x {} cells", georef.cols, georef.rows));
  for (void* band : bands) {
    char pointer[64] = {};
    CPLPrintPointer(pointer, band, sizeof pointer - 1);
    const Options options{{"DATAPOINTER", pointer}};
    if (dataset->AddBand(type, options.list()) != CE_None)
      throw Error(ErrorCode::internal, "GDAL takes no band from memory");
  }
  place_on(*dataset, georef);
  return dataset;
}

int block_rows(int cols, std::size_t bytes_per_cell) {
  const std::size_t row_bytes = static_cast<std::size_t>(std::max(cols, 1)) * bytes_per_cell;
  const auto rows = static_cast<int>(std::clamp<std::size_t>(kBlockBytes / row_bytes, 1, 1 << 20));
  return rows > 256 ? rows / 256 * 256 : rows;
}

void for_blocks(int cols, int rows, std::size_t bytes_per_cell, const std::function<void(int, int)>& body) {
  const int height = block_rows(cols, bytes_per_cell);
  for (int first = 0; first < rows; first += height) {
    base::check_interrupt();
    body(first, std::min(height, rows - first));
  }
}

int CPL_STDCALL stop_on_interrupt(double, const char*, void*) {
  return base::interrupted() ? FALSE : TRUE;
}

}  // namespace stumpwise::raster
