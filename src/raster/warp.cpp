#include <cpl_conv.h>
#include <fmt/format.h>
#include <gdal_alg.h>
#include <gdalwarper.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "gdal.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/text.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::raster {
namespace {

/// Bytes that the warper may hold of the source at a time: memory is bounded by this plus the block plus the
/// result.
constexpr double kSourceBytes = 64.0 * 1024 * 1024;
constexpr float kHole = -3.0e38f;
constexpr float kBeyondAnyValue = 1e30f;
constexpr std::int32_t kNoClass = std::numeric_limits<std::int32_t>::min();
/// Error of the interpolated reprojection, in source cells: far below what bilinear sampling can tell.
constexpr double kTransformError_cells = 0.01;

/// One file on its way onto the ground.
class Source {
 public:
  explicit Source(const std::string& path) : path_(path), dataset_(open_raster(path)) {
    if (dataset_->GetRasterCount() == 0)
      throw Error(ErrorCode::bad_format, base::printable(path) + ": holds no raster band");
    if (!dataset_->GetSpatialRef())
      throw Error(ErrorCode::bad_format,
                  base::printable(path) + ": has no projection, so it is not known where it lies",
                  "Take the file as its maker ships it, or write the coordinate system into it.");
    GDALRasterBand* band = dataset_->GetRasterBand(1);
    int there = 0;
    const double scale = band->GetScale(&there);
    if (there) scale_ = scale;
    const double offset = band->GetOffset(&there);
    if (there) offset_ = offset;
    nodata_ = band->GetNoDataValue(&has_nodata_);
    type_ = band->GetRasterDataType();
  }
  double scale() const { return scale_; }
  double offset() const { return offset_; }
  const std::string& path() const { return path_; }

  /// Warps onto the block's cells; false where the file does not touch it.
  bool warp(const Georef& block, GDALDataType type, void* values, GDALResampleAlg method, double hole) const {
    const GdalErrors errors;
    const Dataset target = over_memory(block, type, {values});
    target->GetRasterBand(1)->SetNoDataValue(hole);
    Transformer transformer(*dataset_, *target, path_);
    if (!transformer.touches(block, dataset_->GetRasterXSize(), dataset_->GetRasterYSize())) return false;
    const auto options = warp_options(*target, method, hole);
    options->pTransformerArg = transformer.approximate;
    options->pfnTransformer = GDALApproxTransform;
    const GdalErrors reading;
    GDALWarpOperation operation;
    const bool ok = operation.Initialize(options.get()) == CE_None &&
                    operation.ChunkAndWarpImage(0, 0, block.cols, block.rows) == CE_None;
    base::check_interrupt();
    if (!ok || reading.failed())
      throw Error(ErrorCode::unreadable,
                  fmt::format("{}: reading stopped: {}", base::printable(path_), reading.text()),
                  "The file is truncated or damaged: fetch it again.");
    return true;
  }

 private:
  struct Transformer {
    void* exact = nullptr;
    void* approximate = nullptr;
    Transformer(GDALDataset& source, GDALDataset& target, const std::string& path) {
      exact = GDALCreateGenImgProjTransformer2(&source, &target, nullptr);
      if (!exact)
        throw Error(ErrorCode::bad_format,
                    base::printable(path) + ": its projection cannot be brought onto the ground's");
      approximate = GDALCreateApproxTransformer(GDALGenImgProjTransform, exact, kTransformError_cells);
    }
    ~Transformer() {
      if (approximate) GDALDestroyApproxTransformer(approximate);
      if (exact) GDALDestroyGenImgProjTransformer(exact);
    }
    Transformer(const Transformer&) = delete;
    Transformer& operator=(const Transformer&) = delete;

    /// Whether the file and the block share land: places of the block in the file, then places of the file in
    /// the block.
    bool touches(const Georef& block, int cols, int rows) const {
      return any_inside(TRUE, block.cols, block.rows, cols, rows) ||
             any_inside(FALSE, cols, rows, block.cols, block.rows);
    }
    bool any_inside(int back, int from_cols, int from_rows, int to_cols, int to_rows) const {
      constexpr int kSteps = 24;
      for (int j = 0; j <= kSteps; ++j) {
        double x[kSteps + 1], y[kSteps + 1], z[kSteps + 1] = {};
        int good[kSteps + 1] = {};
        for (int i = 0; i <= kSteps; ++i) {
          x[i] = static_cast<double>(from_cols) * i / kSteps;
          y[i] = static_cast<double>(from_rows) * j / kSteps;
        }
        GDALGenImgProjTransform(exact, back, kSteps + 1, x, y, z, good);
        for (int i = 0; i <= kSteps; ++i)
          if (good[i] && x[i] >= -1 && y[i] >= -1 && x[i] <= to_cols + 1 && y[i] <= to_rows + 1) return true;
      }
      return false;
    }
  };

  struct OptionsCloser {
    void operator()(GDALWarpOptions* options) const { GDALDestroyWarpOptions(options); }
  };

  std::unique_ptr<GDALWarpOptions, OptionsCloser> warp_options(GDALDataset& target, GDALResampleAlg method,
                                                               double hole) const {
    std::unique_ptr<GDALWarpOptions, OptionsCloser> options(GDALCreateWarpOptions());
    GDALWarpOptions& o = *options;
    o.hSrcDS = dataset_.get();
    o.hDstDS = &target;
    o.nBandCount = 1;
    o.panSrcBands = static_cast<int*>(CPLMalloc(sizeof(int)));
    o.panDstBands = static_cast<int*>(CPLMalloc(sizeof(int)));
    o.panSrcBands[0] = o.panDstBands[0] = 1;
    o.eResampleAlg = method;
    o.dfWarpMemoryLimit = kSourceBytes;
    o.pfnProgress = stop_on_interrupt;
    o.padfDstNoDataReal = static_cast<double*>(CPLMalloc(sizeof(double)));
    o.padfDstNoDataReal[0] = hole;
    const bool floating = type_ == GDT_Float32 || type_ == GDT_Float64;
    if (has_nodata_ || floating) {  // NaN is never a value, whatever the file declares
      o.padfSrcNoDataReal = static_cast<double*>(CPLMalloc(sizeof(double)));
      o.padfSrcNoDataReal[0] = has_nodata_ ? nodata_ : std::numeric_limits<double>::quiet_NaN();
    }
    o.papszWarpOptions = CSLSetNameValue(nullptr, "INIT_DEST", "NO_DATA");
    return options;
  }

  std::string path_;
  Dataset dataset_;
  double scale_ = 1, offset_ = 0, nodata_ = 0;
  int has_nodata_ = 0;
  GDALDataType type_ = GDT_Unknown;
};

Georef block_of(const Georef& target, int first_row, int rows) {
  Georef block = target;
  block.top_m = target.top_m - first_row * target.cell_m;
  block.rows = rows;
  return block;
}

/// Goes over the target block by block: every file onto `values`, then `take(source, first cell, values)`.
/// False where no file touched the target.
template <class Value, class Take>
bool warp_all(const std::vector<std::string>& files, const Georef& target, GDALDataType type,
              GDALResampleAlg method, Value hole, const base::Progress& progress, Take take) {
  std::vector<Source> sources;
  sources.reserve(files.size());
  for (const std::string& file : files) sources.emplace_back(file);
  bool touched = false;
  std::vector<Value> values;
  for_blocks(target.cols, target.rows, sizeof(Value), [&](int first_row, int rows) {
    const Georef block = block_of(target, first_row, rows);
    for (const Source& source : sources) {
      if (progress)
        progress(static_cast<double>(first_row) / target.rows, "reading " + base::printable(source.path()));
      values.assign(block.size(), hole);
      if (!source.warp(block, type, values.data(), method, hole)) continue;
      touched = true;
      take(source, target.index(0, first_row), values);
    }
  });
  if (progress) progress(1, "reading");
  return touched;
}

Error no_overlap(const std::vector<std::string>& files, const char* what) {
  return {ErrorCode::no_overlap, fmt::format("{}: {}", base::printable(base::join(files, ", ")), what),
          "Check that the layers cover the same land."};
}

}  // namespace

Grid warp_values(const WarpRequest& request, Quantity quantity, const base::Progress& progress) {
  if (request.files.empty()) throw Error(ErrorCode::bad_usage, "no raster file was given");
  Grid result(request.target, quantity);
  std::size_t filled = 0;
  auto take = [&](const Source& source, std::size_t first, const std::vector<float>& values) {
    for (std::size_t i = 0; i < values.size(); ++i) {
      const float value = values[i];
      if (std::isnan(value) || std::abs(value) > kBeyondAnyValue || !std::isnan(result.values[first + i]))
        continue;
      result.values[first + i] =
          static_cast<float>((value * source.scale() + source.offset()) * request.scale);
      ++filled;
    }
  };
  const GDALResampleAlg method = request.average ? GRA_Average : GRA_Bilinear;
  warp_all<float>(request.files, request.target, GDT_Float32, method, kHole, progress, take);
  if (filled == 0) throw no_overlap(request.files, "no value lies on the ground");
  return result;
}

ClassGrid warp_classes(const std::vector<std::string>& files, const Georef& target,
                       const std::map<int, std::uint8_t>& code_map, const base::Progress& progress) {
  if (files.empty()) throw Error(ErrorCode::bad_usage, "no raster file was given");
  ClassGrid result{target, std::vector<std::uint8_t>(target.size(), ClassGrid::kNone)};
  bool any_value = false;
  auto take = [&](const Source&, std::size_t first, const std::vector<std::int32_t>& values) {
    for (std::size_t i = 0; i < values.size(); ++i) {
      if (values[i] == kNoClass) continue;
      any_value = true;
      if (result.codes[first + i] != ClassGrid::kNone) continue;
      const auto found = code_map.find(values[i]);
      if (found != code_map.end()) result.codes[first + i] = found->second;
    }
  };
  warp_all<std::int32_t>(files, target, GDT_Int32, GRA_NearestNeighbour, kNoClass, progress, take);
  if (!any_value) throw no_overlap(files, "the classes do not overlap the ground");
  return result;
}

}  // namespace stumpwise::raster
