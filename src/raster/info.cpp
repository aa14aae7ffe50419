#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gdal.h"
#include "stumpwise/base/text.h"
#include "stumpwise/earth/geodesic.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::raster {
namespace {

/// Metres of the vertical unit that a band declares; 1 and false where it declares none that is known.
std::pair<double, bool> vertical_unit(GDALRasterBand& band) {
  const std::string unit = base::lower(band.GetUnitType());
  if (unit == "m" || unit == "metre" || unit == "meter" || unit == "metres" || unit == "meters") return {1.0, true};
  if (unit == "ft" || unit == "foot" || unit == "feet") return {0.3048, true};
  if (unit == "us survey foot" || unit == "us_survey_foot" || unit == "ftus") return {1200.0 / 3937.0, true};
  return {1.0, false};
}

}  // namespace

RasterInfo raster_info(const std::string& path) {
  const Dataset dataset = open_raster(path);
  RasterInfo info;
  info.path = path;
  info.cols = dataset->GetRasterXSize();
  info.rows = dataset->GetRasterYSize();
  info.bands = dataset->GetRasterCount();
  if (info.bands == 0) throw Error(ErrorCode::bad_format, base::printable(path) + ": holds no raster band", "Name one of its parts, for example /vsizip/x.zip/inside.tif.");
  std::tie(info.unit_to_m, info.unit_declared) = vertical_unit(*dataset->GetRasterBand(1));
  const OGRSpatialReference* reference = dataset->GetSpatialRef();
  double transform[6];
  if (!reference || dataset->GetGeoTransform(transform) != CE_None)
    throw Error(ErrorCode::bad_format, base::printable(path) + ": has no projection, so it is not known where it lies",
                "Give it one with gdal_edit.py -a_srs EPSG:CODE, or take the file as its maker ships it.");
  info.has_crs = true;
  info.geographic = reference->IsGeographic();
  if (const char* name = reference->GetName()) info.crs_name = name;

  OGRSpatialReference from(*reference), to = reference_of(4326);
  from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  const GdalErrors errors;
  const std::unique_ptr<OGRCoordinateTransformation> change(OGRCreateCoordinateTransformation(&from, &to));
  if (!change) throw Error(ErrorCode::bad_format, base::printable(path) + ": its projection cannot be turned into longitude and latitude: " + errors.text());
  info.south_west = {.lat_deg = 90, .lon_deg = 180};
  info.north_east = {.lat_deg = -90, .lon_deg = -180};
  auto place = [&](double col, double row) {
    double x = transform[0] + col * transform[1] + row * transform[2], y = transform[3] + col * transform[4] + row * transform[5];
    if (!change->Transform(1, &x, &y)) throw Error(ErrorCode::bad_format, base::printable(path) + ": its corners lie outside its projection");
    return LatLon{.lat_deg = y, .lon_deg = x};
  };
  constexpr int kSteps = 8;  // edges bend in another projection: look along them
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; j <= kSteps; ++j) {
      if (i % kSteps != 0 && j % kSteps != 0) continue;
      const LatLon each = place(static_cast<double>(info.cols) * i / kSteps, static_cast<double>(info.rows) * j / kSteps);
      info.south_west = {.lat_deg = std::min(info.south_west.lat_deg, each.lat_deg), .lon_deg = std::min(info.south_west.lon_deg, each.lon_deg)};
      info.north_east = {.lat_deg = std::max(info.north_east.lat_deg, each.lat_deg), .lon_deg = std::max(info.north_east.lon_deg, each.lon_deg)};
    }
  }
  const LatLon here = place(info.cols / 2.0, info.rows / 2.0), east = place(info.cols / 2.0 + 1, info.rows / 2.0), south = place(info.cols / 2.0, info.rows / 2.0 + 1);
  info.cell_m = std::sqrt(earth::geodesic(here, east).distance_m * earth::geodesic(here, south).distance_m);
  return info;
}

Georef ground_georef(const std::vector<RasterInfo>& files, double cell_m, std::optional<LatLon> around, double radius_km) {
  if (files.empty()) throw Error(ErrorCode::bad_usage, "no elevation file was given");
  LatLon south_west = files.front().south_west, north_east = files.front().north_east;
  for (const RasterInfo& file : files) {
    south_west = {.lat_deg = std::min(south_west.lat_deg, file.south_west.lat_deg), .lon_deg = std::min(south_west.lon_deg, file.south_west.lon_deg)};
    north_east = {.lat_deg = std::max(north_east.lat_deg, file.north_east.lat_deg), .lon_deg = std::max(north_east.lon_deg, file.north_east.lon_deg)};
  }
  const LatLon centre = around ? *around : LatLon{.lat_deg = (south_west.lat_deg + north_east.lat_deg) / 2, .lon_deg = (south_west.lon_deg + north_east.lon_deg) / 2};
  const earth::Utm utm = earth::Utm::for_place(centre);
  double left = 1e12, right = -1e12, bottom = 1e12, top = -1e12;
  constexpr int kSteps = 16;
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; j <= kSteps; ++j) {
      if (i % kSteps != 0 && j % kSteps != 0) continue;
      const auto point = utm.forward({.lat_deg = south_west.lat_deg + (north_east.lat_deg - south_west.lat_deg) * j / kSteps,
                                      .lon_deg = south_west.lon_deg + (north_east.lon_deg - south_west.lon_deg) * i / kSteps});
      left = std::min(left, point.x_m);
      right = std::max(right, point.x_m);
      bottom = std::min(bottom, point.y_m);
      top = std::max(top, point.y_m);
    }
  }
  if (around) {
    const auto middle = utm.forward(*around);
    const double r = radius_km * 1000;
    if (middle.x_m + r < left || middle.x_m - r > right || middle.y_m + r < bottom || middle.y_m - r > top)
      throw Error(ErrorCode::no_overlap, fmt::format("--around {},{} lies outside the elevation model", around->lat_deg, around->lon_deg),
                  fmt::format("It reaches from {:.4f},{:.4f} to {:.4f},{:.4f} (latitude,longitude).", south_west.lat_deg, south_west.lon_deg, north_east.lat_deg, north_east.lon_deg));
    left = std::max(left, middle.x_m - r);
    right = std::min(right, middle.x_m + r);
    bottom = std::max(bottom, middle.y_m - r);
    top = std::min(top, middle.y_m + r);
  }
  Georef georef;
  georef.cell_m = cell_m;
  georef.epsg = utm.epsg();
  // Half a millimetre of slack, so that a grid that already lies on whole cells is taken as it is.
  georef.left_m = std::floor(left / cell_m + 5e-4) * cell_m;
  georef.top_m = std::ceil(top / cell_m - 5e-4) * cell_m;
  georef.cols = std::max(1, static_cast<int>(std::ceil((right - georef.left_m) / cell_m - 5e-4)));
  georef.rows = std::max(1, static_cast<int>(std::ceil((georef.top_m - bottom) / cell_m - 5e-4)));
  return georef;
}

}  // namespace stumpwise::raster
