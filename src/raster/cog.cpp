#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "gdal.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/text.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::raster {
namespace {

namespace fs = std::filesystem;

constexpr const char* kInputPrefix = "STUMPWISE_INPUT_";
constexpr const char* kVersionKey = "STUMPWISE_VERSION";

GDALDriver& driver(const char* name) {
  start_gdal();
  GDALDriver* found = GetGDALDriverManager()->GetDriverByName(name);
  if (!found) throw Error(ErrorCode::internal, std::string("GDAL lacks its driver ") + name);
  return *found;
}

Error not_written(const fs::path& path, const GdalErrors& errors) {
  return {ErrorCode::store_failed,
          fmt::format("{}: cannot be written: {}", base::printable(path.string()), errors.text()),
          "Check that the folder is there, that it may be written to and that the disk is not full."};
}

Error reading_stopped(const fs::path& path, const GdalErrors& errors) {
  return {ErrorCode::unreadable,
          fmt::format("{}: reading stopped: {}", base::printable(path.string()), errors.text()),
          "The file is truncated or damaged: fetch or make it again."};
}

void set_metadata(GDALDataset& dataset, const Provenance& provenance,
                  const std::map<std::string, std::string>& more) {
  dataset.SetMetadataItem(kVersionKey, provenance.format_version.c_str());
  for (const auto& [name, hash] : provenance.inputs)
    dataset.SetMetadataItem((kInputPrefix + name).c_str(), hash.c_str());
  for (const auto& [key, value] : more) dataset.SetMetadataItem(key.c_str(), value.c_str());
}

/// The cloud-optimised driver only copies, so the source is a dataset over the grids' own memory: nothing is
/// held twice.
void copy_as_cog(const fs::path& path, GDALDataset& source, bool floating) {
  base::replace_atomic(path, [&](const fs::path& temporary) {
    const GdalErrors errors;
    const Options options{{"COMPRESS", "DEFLATE"},
                          {"LEVEL", "1"},
                          {"PREDICTOR", floating ? "FLOATING_POINT" : "NO"},
                          {"NUM_THREADS", "ALL_CPUS"},
                          {"OVERVIEW_RESAMPLING", floating ? "AVERAGE" : "NEAREST"}};
    Dataset made(driver("COG").CreateCopy(temporary.c_str(), &source, FALSE, options.list(),
                                          stop_on_interrupt, nullptr));
    base::check_interrupt();
    const bool there = made != nullptr;
    made.reset();  // the last bytes are written here
    if (!there || errors.failed()) throw not_written(path, errors);
  });
}

/// Metric, north-up, square: everything else would give wrong slopes and distances without a word.
Georef georef_of(GDALDataset& dataset, const std::string& path) {
  double t[6];
  if (dataset.GetGeoTransform(t) != CE_None || t[2] != 0 || t[4] != 0 || t[1] <= 0 ||
      std::abs(t[1] + t[5]) > 1e-6 * t[1])
    throw Error(ErrorCode::bad_format, base::printable(path) + ": is no north-up raster of square cells");
  const OGRSpatialReference* reference = dataset.GetSpatialRef();
  if (reference && reference->IsGeographic())
    throw Error(ErrorCode::bad_format, base::printable(path) + ": is in degrees, a plane in metres is needed",
                "Bring it onto a UTM zone first.");
  if (reference && std::abs(reference->GetLinearUnits() - 1) > 1e-9)
    throw Error(ErrorCode::bad_format,
                fmt::format("{}: its plane has a unit of {} m, metres are needed", base::printable(path),
                            reference->GetLinearUnits()),
                "Bring it onto a UTM zone first.");
  Georef georef{t[0], t[3], t[1], dataset.GetRasterXSize(), dataset.GetRasterYSize(), 0};
  const char* code = reference ? reference->GetAuthorityCode(nullptr) : nullptr;
  if (code) georef.epsg = std::atoi(code);
  return georef;
}

Quantity quantity_from(const char* name) {
  if (!name) return Quantity::other;
  for (int i = 0; i <= static_cast<int>(Quantity::other); ++i)
    if (quantity_name(static_cast<Quantity>(i)) == name) return static_cast<Quantity>(i);
  return Quantity::other;
}

}  // namespace

void write_cog(const fs::path& path, const std::vector<Band>& bands, const Provenance& provenance,
               const std::map<std::string, std::string>& metadata) {
  if (bands.empty()) throw Error(ErrorCode::internal, "a raster without bands");
  const Georef& georef = bands.front().grid->georef;
  std::vector<void*> memory;
  for (const Band& band : bands) {
    require_same(georef, band.grid->georef);
    memory.push_back(const_cast<float*>(band.grid->values.data()));  // only read: GDAL has no const here
  }
  const Dataset source = over_memory(georef, GDT_Float32, memory);
  for (std::size_t i = 0; i < bands.size(); ++i) {
    GDALRasterBand* band = source->GetRasterBand(static_cast<int>(i) + 1);
    band->SetNoDataValue(std::nan(""));
    band->SetDescription(bands[i].name.c_str());
    band->SetMetadataItem("QUANTITY", quantity_name(bands[i].grid->quantity).c_str());
  }
  set_metadata(*source, provenance, metadata);
  copy_as_cog(path, *source, true);
}

void write_cog(const fs::path& path, const ClassGrid& classes, const Provenance& provenance) {
  const Dataset source =
      over_memory(classes.georef, GDT_Byte, {const_cast<std::uint8_t*>(classes.codes.data())});
  source->GetRasterBand(1)->SetNoDataValue(ClassGrid::kNone);
  set_metadata(*source, provenance, {});
  copy_as_cog(path, *source, false);
}

void write_geotiff(const fs::path& path, const Grid& grid, float nodata) {
  const Georef& g = grid.georef;
  base::replace_atomic(path, [&](const fs::path& temporary) {
    const GdalErrors errors;
    const Options options{
        {"TILED", "YES"}, {"COMPRESS", "DEFLATE"}, {"ZLEVEL", "1"}, {"BIGTIFF", "IF_SAFER"}};
    Dataset made(driver("GTiff").Create(temporary.c_str(), g.cols, g.rows, 1, GDT_Float32, options.list()));
    if (!made) throw not_written(path, errors);
    place_on(*made, g);
    GDALRasterBand* band = made->GetRasterBand(1);
    band->SetNoDataValue(nodata);
    band->SetMetadataItem("QUANTITY", quantity_name(grid.quantity).c_str());
    std::vector<float> block;
    for_blocks(g.cols, g.rows, sizeof(float), [&](int first, int rows) {
      const auto from = grid.values.begin() + static_cast<std::ptrdiff_t>(g.index(0, first));
      block.assign(from, from + static_cast<std::ptrdiff_t>(rows) * g.cols);
      for (float& value : block)
        if (std::isnan(value)) value = nodata;
      if (band->RasterIO(GF_Write, 0, first, g.cols, rows, block.data(), g.cols, rows, GDT_Float32, 0, 0,
                         nullptr) != CE_None)
        throw not_written(path, errors);
    });
    made.reset();
    if (errors.failed()) throw not_written(path, errors);
  });
}

Grid read_grid(const fs::path& path, int band) {
  const Dataset dataset = open_raster(path.string());
  if (band < 1 || band > dataset->GetRasterCount())
    throw Error(ErrorCode::bad_value, fmt::format("{}: band {}, 1 to {}", base::printable(path.string()),
                                                  band, dataset->GetRasterCount()));
  GDALRasterBand* source = dataset->GetRasterBand(band);
  Grid grid(georef_of(*dataset, path.string()), quantity_from(source->GetMetadataItem("QUANTITY")));
  int has_nodata = 0, has_scale = 0, has_offset = 0;
  const auto nodata = static_cast<float>(source->GetNoDataValue(&has_nodata));
  double scale = source->GetScale(&has_scale), offset = source->GetOffset(&has_offset);
  if (!has_scale) scale = 1;
  if (!has_offset) offset = 0;
  const bool change = scale != 1 || offset != 0;
  const GdalErrors errors;
  const Georef& g = grid.georef;
  for_blocks(g.cols, g.rows, sizeof(float), [&](int first, int rows) {
    float* values = grid.values.data() + g.index(0, first);
    if (source->RasterIO(GF_Read, 0, first, g.cols, rows, values, g.cols, rows, GDT_Float32, 0, 0, nullptr) !=
            CE_None ||
        errors.failed())
      throw reading_stopped(path, errors);
    for (float* value = values; value != values + static_cast<std::size_t>(rows) * g.cols; ++value) {
      if (has_nodata && *value == nodata) *value = std::nanf("");
      if (change) *value = static_cast<float>(*value * scale + offset);
    }
  });
  return grid;
}

ClassGrid read_classes(const fs::path& path) {
  const Dataset dataset = open_raster(path.string());
  ClassGrid classes{georef_of(*dataset, path.string()), {}};
  const Georef& g = classes.georef;
  classes.codes.resize(g.size());
  GDALRasterBand* band = dataset->GetRasterBand(1);
  int has_nodata = 0;
  const double nodata = band->GetNoDataValue(&has_nodata);
  const GdalErrors errors;
  for_blocks(g.cols, g.rows, 1, [&](int first, int rows) {
    std::uint8_t* codes = classes.codes.data() + g.index(0, first);
    if (band->RasterIO(GF_Read, 0, first, g.cols, rows, codes, g.cols, rows, GDT_Byte, 0, 0, nullptr) !=
            CE_None ||
        errors.failed())
      throw reading_stopped(path, errors);
    if (!has_nodata) return;
    for (std::uint8_t* code = codes; code != codes + static_cast<std::size_t>(rows) * g.cols; ++code)
      if (*code == nodata) *code = ClassGrid::kNone;
  });
  return classes;
}

std::optional<Provenance> read_provenance(const fs::path& path) {
  std::error_code error;
  if (!fs::exists(path, error)) return std::nullopt;
  start_gdal();
  const GdalErrors errors;
  const Dataset dataset(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY));
  if (!dataset) return std::nullopt;
  const char* version = dataset->GetMetadataItem(kVersionKey);
  if (!version) return std::nullopt;
  Provenance provenance{version, {}};
  for (char** item = dataset->GetMetadata(); item && *item; ++item) {
    const std::string text = *item;
    if (text.rfind(kInputPrefix, 0) != 0) continue;
    const auto equals = text.find('=');
    const std::size_t start = std::string_view(kInputPrefix).size();
    provenance.inputs[text.substr(start, equals - start)] = text.substr(equals + 1);
  }
  return provenance;
}

}  // namespace stumpwise::raster
