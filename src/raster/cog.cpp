#include <fmt/format.h>

#include <cmath>
#include <fstream>

#include "gdal.h"
#include "stumpwise/base/files.h"
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

void place_on(GDALDataset& dataset, const Georef& georef) {
  double transform[6] = {georef.left_m, georef.cell_m, 0, georef.top_m, 0, -georef.cell_m};
  dataset.SetGeoTransform(transform);
  const OGRSpatialReference reference = reference_of(georef.epsg);
  dataset.SetSpatialRef(&reference);
}

Dataset in_memory(const Georef& georef, int bands, GDALDataType type) {
  Dataset dataset(driver("MEM").Create("", georef.cols, georef.rows, bands, type, nullptr));
  if (!dataset) throw Error(ErrorCode::internal, fmt::format("no memory for {} x {} cells", georef.cols, georef.rows));
  place_on(*dataset, georef);
  return dataset;
}

void write_band(GDALDataset& dataset, int band, const Georef& georef, const void* values, GDALDataType type) {
  if (dataset.GetRasterBand(band)->RasterIO(GF_Write, 0, 0, georef.cols, georef.rows, const_cast<void*>(values), georef.cols, georef.rows, type, 0, 0, nullptr) != CE_None)
    throw Error(ErrorCode::store_failed, "a raster band could not be written");
}

void set_metadata(GDALDataset& dataset, const Provenance& provenance, const std::map<std::string, std::string>& more) {
  dataset.SetMetadataItem(kVersionKey, provenance.format_version.c_str());
  for (const auto& [name, hash] : provenance.inputs) dataset.SetMetadataItem((kInputPrefix + name).c_str(), hash.c_str());
  for (const auto& [key, value] : more) dataset.SetMetadataItem(key.c_str(), value.c_str());
}

/// The cloud-optimised driver only copies: everything is put together in memory first.
void copy_as_cog(const fs::path& path, GDALDataset& source, bool floating) {
  base::replace_atomic(path, [&](const fs::path& temporary) {
    const GdalErrors errors;
    char** options = CSLSetNameValue(nullptr, "COMPRESS", "DEFLATE");
    options = CSLSetNameValue(options, "LEVEL", "1");
    options = CSLSetNameValue(options, "PREDICTOR", floating ? "FLOATING_POINT" : "NO");
    options = CSLSetNameValue(options, "NUM_THREADS", "ALL_CPUS");
    options = CSLSetNameValue(options, "OVERVIEW_RESAMPLING", floating ? "AVERAGE" : "NEAREST");
    const Dataset made(driver("COG").CreateCopy(temporary.c_str(), &source, FALSE, options, nullptr, nullptr));
    CSLDestroy(options);
    if (!made || errors.failed()) throw Error(ErrorCode::store_failed, path.string() + ": cannot be written: " + base::printable(errors.text()));
  });
}

Georef georef_of(GDALDataset& dataset, const std::string& path) {
  double t[6];
  if (dataset.GetGeoTransform(t) != CE_None || t[2] != 0 || t[4] != 0 || std::abs(t[1] + t[5]) > 1e-9 * std::abs(t[1]) || t[1] <= 0)
    throw Error(ErrorCode::bad_format, base::printable(path) + ": is no north-up raster of square cells");
  Georef georef;
  georef.left_m = t[0];
  georef.top_m = t[3];
  georef.cell_m = t[1];
  georef.cols = dataset.GetRasterXSize();
  georef.rows = dataset.GetRasterYSize();
  const OGRSpatialReference* reference = dataset.GetSpatialRef();
  const char* code = reference ? reference->GetAuthorityCode(nullptr) : nullptr;
  georef.epsg = code ? std::atoi(code) : 0;
  return georef;
}

Quantity quantity_from(const char* name) {
  if (!name) return Quantity::other;
  for (int i = 0; i <= static_cast<int>(Quantity::other); ++i)
    if (quantity_name(static_cast<Quantity>(i)) == name) return static_cast<Quantity>(i);
  return Quantity::other;
}

}  // namespace

void write_cog(const fs::path& path, const std::vector<Band>& bands, const Provenance& provenance, const std::map<std::string, std::string>& metadata) {
  const Georef& georef = bands.front().grid->georef;
  const Dataset memory = in_memory(georef, static_cast<int>(bands.size()), GDT_Float32);
  for (std::size_t i = 0; i < bands.size(); ++i) {
    require_same(georef, bands[i].grid->georef);
    const int number = static_cast<int>(i) + 1;
    GDALRasterBand* band = memory->GetRasterBand(number);
    band->SetNoDataValue(std::nan(""));
    band->SetDescription(bands[i].name.c_str());
    band->SetMetadataItem("QUANTITY", quantity_name(bands[i].grid->quantity).c_str());
    write_band(*memory, number, georef, bands[i].grid->values.data(), GDT_Float32);
  }
  set_metadata(*memory, provenance, metadata);
  copy_as_cog(path, *memory, true);
}

void write_cog(const fs::path& path, const ClassGrid& classes, const Provenance& provenance) {
  const Dataset memory = in_memory(classes.georef, 1, GDT_Byte);
  memory->GetRasterBand(1)->SetNoDataValue(ClassGrid::kNone);
  write_band(*memory, 1, classes.georef, classes.codes.data(), GDT_Byte);
  set_metadata(*memory, provenance, {});
  copy_as_cog(path, *memory, false);
}

void write_geotiff(const fs::path& path, const Grid& grid, float nodata) {
  base::replace_atomic(path, [&](const fs::path& temporary) {
    const GdalErrors errors;
    char** options = CSLSetNameValue(nullptr, "TILED", "YES");
    options = CSLSetNameValue(options, "COMPRESS", "DEFLATE");
    options = CSLSetNameValue(options, "ZLEVEL", "1");
    options = CSLSetNameValue(options, "BIGTIFF", "IF_SAFER");
    const Dataset made(driver("GTiff").Create(temporary.c_str(), grid.georef.cols, grid.georef.rows, 1, GDT_Float32, options));
    CSLDestroy(options);
    if (!made) throw Error(ErrorCode::store_failed, path.string() + ": cannot be written: " + base::printable(errors.text()));
    place_on(*made, grid.georef);
    made->GetRasterBand(1)->SetNoDataValue(nodata);
    if (std::isnan(nodata)) {
      write_band(*made, 1, grid.georef, grid.values.data(), GDT_Float32);
    } else {
      std::vector<float> values = grid.values;
      for (float& value : values)
        if (std::isnan(value)) value = nodata;
      write_band(*made, 1, grid.georef, values.data(), GDT_Float32);
    }
    made->FlushCache();
    if (errors.failed()) throw Error(ErrorCode::store_failed, path.string() + ": cannot be written: " + base::printable(errors.text()));
  });
}

Grid read_grid(const fs::path& path, int band) {
  const Dataset dataset = open_raster(path.string());
  if (band < 1 || band > dataset->GetRasterCount())
    throw Error(ErrorCode::bad_value, fmt::format("{}: band {} of {}", path.string(), band, dataset->GetRasterCount()));
  GDALRasterBand* source = dataset->GetRasterBand(band);
  Grid grid(georef_of(*dataset, path.string()), quantity_from(source->GetMetadataItem("QUANTITY")));
  const GdalErrors errors;
  if (source->RasterIO(GF_Read, 0, 0, grid.georef.cols, grid.georef.rows, grid.values.data(), grid.georef.cols, grid.georef.rows, GDT_Float32, 0, 0, nullptr) != CE_None || errors.failed())
    throw Error(ErrorCode::unreadable, path.string() + ": reading stopped: " + base::printable(errors.text()), "The file is truncated or damaged.");
  int has_nodata = 0;
  const double nodata = source->GetNoDataValue(&has_nodata);
  if (has_nodata && !std::isnan(nodata))
    for (float& value : grid.values)
      if (value == static_cast<float>(nodata)) value = std::nanf("");
  return grid;
}

ClassGrid read_classes(const fs::path& path) {
  const Dataset dataset = open_raster(path.string());
  ClassGrid classes{georef_of(*dataset, path.string()), {}};
  classes.codes.resize(classes.georef.size());
  const GdalErrors errors;
  if (dataset->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, classes.georef.cols, classes.georef.rows, classes.codes.data(), classes.georef.cols, classes.georef.rows, GDT_Byte, 0, 0, nullptr) != CE_None || errors.failed())
    throw Error(ErrorCode::unreadable, path.string() + ": reading stopped: " + base::printable(errors.text()), "The file is truncated or damaged.");
  return classes;
}

std::optional<Provenance> read_provenance(const fs::path& path) {
  if (!fs::exists(path)) return std::nullopt;
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
    provenance.inputs[text.substr(std::string(kInputPrefix).size(), equals - std::string(kInputPrefix).size())] = text.substr(equals + 1);
  }
  return provenance;
}

}  // namespace stumpwise::raster
