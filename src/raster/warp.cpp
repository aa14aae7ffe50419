#include <cpl_conv.h>
#include <fmt/format.h>
#include <gdal_alg.h>
#include <gdalwarper.h>

#include <cmath>
#include <limits>

#include "gdal.h"
#include "stumpwise/base/text.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::raster {
namespace {

/// Bytes that the warper may hold of the source at a time: memory is bounded by this plus the result.
constexpr double kBlockBytes = 64.0 * 1024 * 1024;
constexpr float kHole = -3.0e38f;

/// A dataset in memory over the ground's cells.
Dataset memory_raster(const Georef& georef, GDALDataType type, void* values, int bytes) {
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("MEM");
  Dataset dataset(driver->Create("", georef.cols, georef.rows, 0, type, nullptr));
  char pointer[64] = {};
  const int n = CPLPrintPointer(pointer, values, sizeof pointer);
  pointer[n] = '\0';
  const std::string option = std::string("DATAPOINTER=") + pointer;
  char* options[] = {const_cast<char*>(option.c_str()), nullptr};
  dataset->AddBand(type, options);
  (void)bytes;
  double transform[6] = {georef.left_m, georef.cell_m, 0, georef.top_m, 0, -georef.cell_m};
  dataset->SetGeoTransform(transform);
  const OGRSpatialReference reference = reference_of(georef.epsg);
  dataset->SetSpatialRef(&reference);
  return dataset;
}

struct WarpHandles {
  GDALWarpOptions* options = GDALCreateWarpOptions();
  void* transformer = nullptr;
  ~WarpHandles() {
    if (transformer) GDALDestroyGenImgProjTransformer(transformer);
    GDALDestroyWarpOptions(options);
  }
};

int CPL_STDCALL on_progress(double, const char*, void*) { return base::interrupted() ? FALSE : TRUE; }

/// Warps band 1 of a file into `target`, whose holes are `hole`; cells that a former tile filled are kept by the caller.
void warp_file(const std::string& path, GDALDataset& target, GDALResampleAlg method, double hole, std::size_t cells) {
  (void)cells;
  const Dataset source = open_raster(path);
  if (!source->GetSpatialRef()) throw Error(ErrorCode::bad_format, base::printable(path) + ": has no projection, so it is not known where it lies");
  const GdalErrors errors;
  WarpHandles warp;
  GDALWarpOptions& o = *warp.options;
  o.hSrcDS = source.get();
  o.hDstDS = &target;
  o.nBandCount = 1;
  o.panSrcBands = static_cast<int*>(CPLMalloc(sizeof(int)));
  o.panDstBands = static_cast<int*>(CPLMalloc(sizeof(int)));
  o.panSrcBands[0] = o.panDstBands[0] = 1;
  o.eResampleAlg = method;
  o.dfWarpMemoryLimit = kBlockBytes;
  o.pfnProgress = on_progress;
  int has_nodata = 0;
  const double nodata = source->GetRasterBand(1)->GetNoDataValue(&has_nodata);
  o.padfDstNoDataReal = static_cast<double*>(CPLMalloc(sizeof(double)));
  o.padfDstNoDataReal[0] = hole;
  o.padfSrcNoDataReal = static_cast<double*>(CPLMalloc(sizeof(double)));
  o.padfSrcNoDataReal[0] = has_nodata ? nodata : std::numeric_limits<double>::quiet_NaN();
  o.papszWarpOptions = CSLSetNameValue(nullptr, "INIT_DEST", "NO_DATA");
  warp.transformer = GDALCreateGenImgProjTransformer2(source.get(), &target, nullptr);
  if (!warp.transformer) throw Error(ErrorCode::no_overlap, base::printable(path) + ": cannot be brought onto the ground: " + base::printable(errors.text()));
  o.pTransformerArg = warp.transformer;
  o.pfnTransformer = GDALGenImgProjTransform;
  GDALWarpOperation operation;
  const bool ok = operation.Initialize(&o) == CE_None && operation.ChunkAndWarpImage(0, 0, target.GetRasterXSize(), target.GetRasterYSize()) == CE_None;
  base::check_interrupt();
  if (!ok || errors.failed())
    throw Error(ErrorCode::unreadable, base::printable(path) + ": reading stopped: " + base::printable(errors.text()), "The file is truncated or damaged: fetch it again.");
}

}  // namespace

Grid warp_values(const WarpRequest& request, Quantity quantity, const base::Progress& progress) {
  start_gdal();
  Grid result(request.target, quantity);
  std::vector<float> tile(request.target.size());
  const Dataset target = memory_raster(request.target, GDT_Float32, tile.data(), 4);
  target->GetRasterBand(1)->SetNoDataValue(kHole);
  const GDALResampleAlg method = request.average ? GRA_Average : GRA_Bilinear;
  std::size_t filled = 0;
  for (std::size_t i = 0; i < request.files.size(); ++i) {
    base::check_interrupt();
    if (progress) progress(static_cast<double>(i) / static_cast<double>(request.files.size()), "reading " + request.files[i]);
    warp_file(request.files[i], *target, method, kHole, tile.size());
    for (std::size_t cell = 0; cell < tile.size(); ++cell) {
      if (tile[cell] <= kHole || std::isnan(tile[cell]) || !std::isnan(result.values[cell])) continue;
      result.values[cell] = static_cast<float>(tile[cell] * request.scale);
      ++filled;
    }
  }
  if (filled == 0)
    throw Error(ErrorCode::no_overlap, base::printable(base::join(request.files, ", ")) + ": no value lies on the ground", "Check that the layers cover the same land.");
  return result;
}

ClassGrid warp_classes(const std::vector<std::string>& files, const Georef& target, const std::map<int, std::uint8_t>& code_map, const base::Progress& progress) {
  start_gdal();
  constexpr std::int32_t kNoClass = std::numeric_limits<std::int32_t>::min();
  ClassGrid result{target, std::vector<std::uint8_t>(target.size(), ClassGrid::kNone)};
  std::vector<std::int32_t> tile(target.size());
  const Dataset memory = memory_raster(target, GDT_Int32, tile.data(), 4);
  memory->GetRasterBand(1)->SetNoDataValue(kNoClass);
  std::size_t touched = 0;
  for (const std::string& file : files) {
    base::check_interrupt();
    if (progress) progress(0, "reading " + file);
    warp_file(file, *memory, GRA_NearestNeighbour, kNoClass, tile.size());
    for (std::size_t cell = 0; cell < tile.size(); ++cell) {
      if (tile[cell] == kNoClass) continue;
      ++touched;
      if (result.codes[cell] != ClassGrid::kNone) continue;
      const auto found = code_map.find(tile[cell]);
      if (found != code_map.end()) result.codes[cell] = found->second;
    }
  }
  if (touched == 0)
    throw Error(ErrorCode::no_overlap, base::printable(base::join(files, ", ")) + ": the land cover does not overlap the ground", "Check that it covers the same land as the elevation model.");
  return result;
}

}  // namespace stumpwise::raster
