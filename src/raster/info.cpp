#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gdal.h"
#include "stumpwise/base/text.h"
#include "stumpwise/base/units.h"
#include "stumpwise/earth/geodesic.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::raster {
namespace {

constexpr double kMetresPerSurveyFoot = 1200.0 / 3937.0;  // exact by definition (US, until 2022)
constexpr double kWidestLand_deg = 12;  // two UTM zones: beyond, distances are off by over 1 %
constexpr int kEdgeSteps = 16;          // edges bend in another projection: look along them

/// Metres of the vertical unit that a band declares; 1 and false where it declares none that is known.
std::pair<double, bool> vertical_unit(GDALRasterBand& band) {
  std::string unit = base::lower(base::trim(band.GetUnitType()));
  std::replace(unit.begin(), unit.end(), '_', ' ');
  if (unit == "m" || unit == "metre" || unit == "meter" || unit == "metres" || unit == "meters")
    return {1.0, true};
  if (unit == "ft" || unit == "foot" || unit == "feet" || unit == "international foot")
    return {base::kMetresPerFoot, true};
  if (unit == "us survey foot" || unit == "us survey feet" || unit == "us-ft" || unit == "ftus" ||
      unit == "us ft")
    return {kMetresPerSurveyFoot, true};
  if (unit == "cm") return {0.01, true};
  if (unit == "dm") return {0.1, true};
  return {1.0, false};
}

struct Box {
  double south = 90, west = 180, north = -90, east = -180;
  void add(const LatLon& place) {
    south = std::min(south, place.lat_deg);
    north = std::max(north, place.lat_deg);
    west = std::min(west, place.lon_deg);
    east = std::max(east, place.lon_deg);
  }
};

struct Extent {
  double left = 1e12, right = -1e12, bottom = 1e12, top = -1e12;
  void add(const earth::PlanePoint& point) {
    left = std::min(left, point.x_m);
    right = std::max(right, point.x_m);
    bottom = std::min(bottom, point.y_m);
    top = std::max(top, point.y_m);
  }
};

/// Turns columns and rows of a file into places.
class Placer {
 public:
  Placer(GDALDataset& dataset, const std::string& path) {
    const OGRSpatialReference* reference = dataset.GetSpatialRef();
    if (!reference || reference->IsLocal() || dataset.GetGeoTransform(transform_) != CE_None)
      throw Error(ErrorCode::bad_format,
                  base::printable(path) + ": has no projection, so it is not known where it lies",
                  "Take the file as its maker ships it (with its .prj or .aux.xml), or write the coordinate "
                  "system into it.");
    const OGRSpatialReference from = traditional(*reference), to = reference_of(4326);
    change_.reset(OGRCreateCoordinateTransformation(&from, &to));
    if (!change_)
      throw Error(ErrorCode::bad_format,
                  base::printable(path) + ": its projection cannot be turned into latitude and longitude");
  }
  std::optional<LatLon> at(double col, double row) const {
    double x = transform_[0] + col * transform_[1] + row * transform_[2];
    double y = transform_[3] + col * transform_[4] + row * transform_[5];
    if (!change_->Transform(1, &x, &y) || !std::isfinite(x) || !std::isfinite(y)) return std::nullopt;
    const LatLon place{.lat_deg = y, .lon_deg = x};
    return valid(place) ? std::optional<LatLon>(place) : std::nullopt;
  }

 private:
  double transform_[6] = {};
  std::unique_ptr<OGRCoordinateTransformation> change_;
};

/// Cell at the centre, metres: geometric mean of its two sides.
double cell_size_m(const Placer& placer, const RasterInfo& info) {
  const double col = info.cols / 2.0, row = info.rows / 2.0;
  const auto here = placer.at(col, row), east = placer.at(col + 1, row), south = placer.at(col, row + 1);
  if (!here || !east || !south) return 0;
  return std::sqrt(earth::geodesic(*here, *east).distance_m * earth::geodesic(*here, *south).distance_m);
}

Box joint_box(const std::vector<RasterInfo>& files) {
  Box box;
  for (const RasterInfo& file : files) {
    box.add(file.south_west);
    box.add(file.north_east);
  }
  return box;
}

/// Extent of a file on the plane: by its outline, or by its box where it reaches too far to be drawn there.
Extent extent_on(const earth::Utm& utm, const RasterInfo& file, const Box& within) {
  const Box inside{
      std::max(within.south, file.south_west.lat_deg), std::max(within.west, file.south_west.lon_deg),
      std::min(within.north, file.north_east.lat_deg), std::min(within.east, file.north_east.lon_deg)};
  Extent extent;
  if (inside.south > inside.north || inside.west > inside.east) return extent;
  const bool drawable =
      !file.outline.empty() && file.north_east.lon_deg - file.south_west.lon_deg <= kWidestLand_deg;
  if (drawable) {
    for (const LatLon& place : file.outline) extent.add(utm.forward(place));
    return extent;
  }
  for (int i = 0; i <= kEdgeSteps; ++i)
    for (int j = 0; j <= kEdgeSteps; ++j)
      extent.add(utm.forward({.lat_deg = inside.south + (inside.north - inside.south) * j / kEdgeSteps,
                              .lon_deg = inside.west + (inside.east - inside.west) * i / kEdgeSteps}));
  return extent;
}

Georef snapped(const Extent& extent, double cell_m, int epsg) {
  // A little slack (half a thousandth of a cell), so that a file that lies on whole cells already is taken as
  // it is.
  constexpr double kSlack = 5e-4;
  const double first_col = std::floor(extent.left / cell_m + kSlack),
               last_col = std::ceil(extent.right / cell_m - kSlack);
  const double first_row = std::floor(extent.bottom / cell_m + kSlack),
               last_row = std::ceil(extent.top / cell_m - kSlack);
  Georef georef;
  georef.cell_m = cell_m;
  georef.epsg = epsg;
  georef.left_m = first_col * cell_m;
  georef.top_m = last_row * cell_m;
  georef.cols = static_cast<int>(std::clamp(last_col - first_col, 1.0, 1e8));
  georef.rows = static_cast<int>(std::clamp(last_row - first_row, 1.0, 1e8));
  return georef;
}

Error outside(const LatLon& around, const Box& box) {
  return {ErrorCode::no_overlap,
          fmt::format("--around {},{} lies outside the elevation model", around.lat_deg, around.lon_deg),
          fmt::format("It reaches from {:.4f},{:.4f} to {:.4f},{:.4f} (latitude,longitude).", box.south,
                      box.west, box.north, box.east)};
}

}  // namespace

RasterInfo raster_info(const std::string& path) {
  const Dataset dataset = open_raster(path);
  const GdalErrors errors;
  RasterInfo info;
  info.path = path;
  info.cols = dataset->GetRasterXSize();
  info.rows = dataset->GetRasterYSize();
  info.bands = dataset->GetRasterCount();
  if (info.bands == 0)
    throw Error(ErrorCode::bad_format, base::printable(path) + ": holds no raster band",
                "Name one of its parts.");
  std::tie(info.unit_to_m, info.unit_declared) = vertical_unit(*dataset->GetRasterBand(1));
  const Placer placer(*dataset, path);
  info.has_crs = true;
  info.geographic = dataset->GetSpatialRef()->IsGeographic();
  if (const char* name = dataset->GetSpatialRef()->GetName()) info.crs_name = name;
  Box box;
  auto look = [&](int i, int j) {
    const auto place = placer.at(static_cast<double>(info.cols) * i / kEdgeSteps,
                                 static_cast<double>(info.rows) * j / kEdgeSteps);
    if (!place) return;  // the corners of a map of a continent may lie off the Earth
    box.add(*place);
    info.outline.push_back(*place);
  };
  for (int i = 0; i < kEdgeSteps; ++i) look(i, 0);
  for (int j = 0; j < kEdgeSteps; ++j) look(kEdgeSteps, j);
  for (int i = kEdgeSteps; i > 0; --i) look(i, kEdgeSteps);
  for (int j = kEdgeSteps; j > 0; --j) look(0, j);
  if (info.outline.empty())
    throw Error(ErrorCode::bad_format, base::printable(path) + ": lies outside its own projection",
                "Its coordinates and its coordinate system do not belong together.");
  info.south_west = {.lat_deg = box.south, .lon_deg = box.west};
  info.north_east = {.lat_deg = box.north, .lon_deg = box.east};
  info.cell_m = cell_size_m(placer, info);
  return info;
}

Georef ground_georef(const std::vector<RasterInfo>& files, double cell_m, std::optional<LatLon> around,
                     double radius_km) {
  if (files.empty()) throw Error(ErrorCode::bad_usage, "no elevation file was given");
  if (!(cell_m > 0)) throw Error(ErrorCode::bad_value, fmt::format("cell of {} m: must be above 0", cell_m));
  if (around && !(radius_km > 0))
    throw Error(ErrorCode::bad_value, fmt::format("radius of {} km: must be above 0", radius_km));
  const Box box = joint_box(files);
  const LatLon centre =
      around.value_or(LatLon{.lat_deg = (box.south + box.north) / 2, .lon_deg = (box.west + box.east) / 2});
  const earth::Utm utm = earth::Utm::for_place(centre);
  Box within = box;
  Extent cut;
  if (around) {
    const auto middle = utm.forward(*around);
    const double r = radius_km * 1000;
    cut = {middle.x_m - r, middle.x_m + r, middle.y_m - r, middle.y_m + r};
    within = {};
    for (const double x : {cut.left, middle.x_m, cut.right})
      for (const double y : {cut.bottom, middle.y_m, cut.top}) within.add(utm.inverse({x, y}));
    if (within.south > box.north || within.north < box.south || within.west > box.east ||
        within.east < box.west)
      throw outside(*around, box);
  } else if (box.east - box.west > kWidestLand_deg || box.north - box.south > kWidestLand_deg) {
    throw Error(ErrorCode::bad_value,
                fmt::format("the elevation files span {:.1f} x {:.1f} degrees: at most {} in one ground",
                            box.north - box.south, box.east - box.west, kWidestLand_deg),
                "Cut out a part with --around LAT,LON,KM.");
  }
  Extent all;
  for (const RasterInfo& file : files) {
    const Extent each = extent_on(utm, file, within);
    all = {std::min(all.left, each.left), std::max(all.right, each.right), std::min(all.bottom, each.bottom),
           std::max(all.top, each.top)};
  }
  if (around)
    all = {std::max(all.left, cut.left), std::min(all.right, cut.right), std::max(all.bottom, cut.bottom),
           std::min(all.top, cut.top)};
  if (all.left >= all.right || all.bottom >= all.top) throw outside(centre, box);
  return snapped(all, cell_m, utm.epsg());
}

}  // namespace stumpwise::raster
