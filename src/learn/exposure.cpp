#include "stumpwise/learn/exposure.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <numeric>

#include "stumpwise/base/error.h"
#include "stumpwise/base/units.h"

namespace stumpwise::learn {
namespace {

using earth::PlanePoint;

constexpr double kLeastSide_sweeps = 10;  // cells below this would count the width of the sweep twice
constexpr double kFindReach_m = 60;       // a receiver's error and the sweep's width, with room
constexpr double kDiscCoverage = 0.25;    // W L / A of a search without track (assumption)
constexpr double kSearchShare =
    0.5;  // of the minutes in the field, where no search minutes were noted (assumption)

/// Sums over the ground's cells inside one exposure cell.
struct Block {
  double length_m = 0;
  int land_cells = 0;
  Eigen::Matrix<double, ground::kCovariates, 1> z = Eigen::Matrix<double, ground::kCovariates, 1>::Zero();
  double elevation_m = 0;
};

/// The coarse cells of one outing, by (row, column): an ordered map, so that results do not hang on a hash.
class Blocks {
 public:
  Blocks(const ground::CovariateField& field, double sweep_width_m)
      : field_(field),
        g_(field.georef()),
        side_(std::max(1, static_cast<int>(std::ceil(kLeastSide_sweeps * sweep_width_m / g_.cell_m)))) {}

  /// Adds the length of a straight piece to the cells that it crosses, cut exactly at their borders.
  void add_piece(const PlanePoint& a, const PlanePoint& b, double people) {
    const double length_m = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m) * people;
    std::vector<double> cuts{0, 1};
    add_cuts(a.x_m - g_.left_m, b.x_m - g_.left_m, g_.cols * g_.cell_m, cuts);
    add_cuts(g_.top_m - a.y_m, g_.top_m - b.y_m, g_.rows * g_.cell_m, cuts);
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t i = 1; i < cuts.size(); ++i) {
      if (cuts[i] <= cuts[i - 1]) continue;
      const double middle = (cuts[i] + cuts[i - 1]) / 2;
      const double x_m = a.x_m + middle * (b.x_m - a.x_m), y_m = a.y_m + middle * (b.y_m - a.y_m);
      if (g_.contains(x_m, y_m)) blocks_[key(x_m, y_m)].length_m += length_m * (cuts[i] - cuts[i - 1]);
    }
  }
  /// Adds all land inside the cells that a piece crossed.
  void add_land_inside() {
    for (auto& [at, block] : blocks_)
      for (int row = at.first * side_; row < std::min(g_.rows, (at.first + 1) * side_); ++row)
        for (int col = at.second * side_; col < std::min(g_.cols, (at.second + 1) * side_); ++col)
          add_land(col, row, block);
  }
  /// Spreads a length evenly over the land within `radius_m` of a place (negative: over all land).
  void spread(const PlanePoint& centre, double radius_m, double length_m) {
    const bool all = radius_m < 0;
    int land = 0;
    const int r0 = all ? 0 : std::max(0, g_.row_of(centre.y_m + radius_m)),
              r1 = all ? g_.rows - 1 : std::min(g_.rows - 1, g_.row_of(centre.y_m - radius_m));
    const int c0 = all ? 0 : std::max(0, g_.col_of(centre.x_m - radius_m)),
              c1 = all ? g_.cols - 1 : std::min(g_.cols - 1, g_.col_of(centre.x_m + radius_m));
    for (int row = r0; row <= r1; ++row)
      for (int col = c0; col <= c1; ++col) {
        const bool near = all ||
                          std::hypot(g_.x_of(col) - centre.x_m, g_.y_of(row) - centre.y_m) <= radius_m ||
                          (col == g_.col_of(centre.x_m) && row == g_.row_of(centre.y_m));
        if (near && field_.defined(g_.index(col, row)))
          land += add_land(col, row, blocks_[{row / side_, col / side_}]);
      }
    for (auto& [at, block] : blocks_) block.length_m = length_m * block.land_cells / std::max(1, land);
  }
  /// Cells with land, in order, and their keys.
  void collect(double sweep_width_m, OutingData& outing) {
    for (const auto& [at, block] : blocks_) {
      if (block.land_cells == 0 || block.length_m <= 0) continue;
      ExposedCell cell;
      const double area_m2 = block.land_cells * g_.cell_m * g_.cell_m;
      cell.exposure_ha = exposure_ha(area_m2, block.length_m, sweep_width_m);
      cell.z = block.z / block.land_cells;
      cell.elevation_m = block.elevation_m / block.land_cells;
      cell.length_m = block.length_m;
      cell.area_ha = area_m2 / base::kSquareMetresPerHectare;
      keys_.push_back(at);
      outing.cells.push_back(cell);
    }
  }
  /// The collected cell nearest to a place: 0 m inside.
  std::pair<std::size_t, double> nearest(const PlanePoint& place) const {
    std::pair<std::size_t, double> best{0, INFINITY};
    const double side_m = side_ * g_.cell_m;
    for (std::size_t i = 0; i < keys_.size(); ++i) {
      const double west = g_.left_m + keys_[i].second * side_m, north = g_.top_m - keys_[i].first * side_m;
      const double dx = std::max({west - place.x_m, place.x_m - (west + side_m), 0.0});
      const double dy = std::max({place.y_m - north, north - side_m - place.y_m, 0.0});
      if (const double away = std::hypot(dx, dy); away < best.second) best = {i, away};
    }
    return best;
  }

 private:
  using Key = std::pair<int, int>;
  Key key(double x_m, double y_m) const { return {g_.row_of(y_m) / side_, g_.col_of(x_m) / side_}; }
  int add_land(int col, int row, Block& block) {
    const std::size_t cell = g_.index(col, row);
    if (!field_.defined(cell)) return 0;
    std::array<double, ground::kCovariates> z{};
    field_.z(cell, z);
    for (int k = 0; k < ground::kCovariates; ++k) block.z[k] += z[static_cast<std::size_t>(k)];
    block.elevation_m += field_.elevation_m(cell);
    ++block.land_cells;
    return 1;
  }
  /// Shares of the way from `from` to `to` (metres from the ground's corner) at which borders are crossed.
  void add_cuts(double from, double to, double end, std::vector<double>& cuts) const {
    if (from == to) return;
    const double side_m = side_ * g_.cell_m, low = std::max(std::min(from, to), 0.0),
                 high = std::min(std::max(from, to), end);
    for (double border = std::ceil(low / side_m) * side_m; border <= high; border += side_m)
      cuts.push_back((border - from) / (to - from));
    if (end >= low && end <= high) cuts.push_back((end - from) / (to - from));
  }

  const ground::CovariateField& field_;
  const raster::Georef& g_;
  int side_;
  std::map<Key, Block> blocks_;
  std::vector<Key> keys_;
};

void require_in(double value, double low, double high, const char* what, const char* unit) {
  if (!(value >= low && value <= high))
    throw Error(ErrorCode::bad_value,
                fmt::format("{} is {} {}, allowed {} to {} {}", what, value, unit, low, high, unit));
}

/// Exposure from the track; false where there is none.
bool expose_track(const records::Outing& outing, const raster::Georef& g, Blocks& blocks, OutingData& data) {
  if (outing.track.size() < 2) return false;
  const SearchedPath path = searched_path(outing.track, g.epsg);
  data.searched_m = path.searched_m;
  data.searched_min = path.searched_min;
  data.set_apart_m = path.set_apart_m;
  data.set_apart_min = path.set_apart_min;
  for (const auto& line : path.lines)
    for (std::size_t i = 1; i < line.size(); ++i) blocks.add_piece(line[i - 1], line[i], outing.people);
  blocks.add_land_inside();
  return true;
}

void expose_minutes(const records::Outing& outing, const raster::Georef& g, std::optional<LatLon> at,
                    double sweep_width_m, double speed_m_per_min, Blocks& blocks, OutingData& data) {
  data.searched_min = outing.search_minutes.value_or(kSearchShare * outing.minutes);
  data.searched_m = data.searched_min * speed_m_per_min;
  const double length_m = data.searched_m * outing.people;
  if (!(length_m > 0)) return;
  const double radius_m = std::max(kLeastSide_sweeps * sweep_width_m,
                                   std::sqrt(sweep_width_m * length_m / (kDiscCoverage * std::numbers::pi)));
  if (!at) {
    blocks.spread({}, -1, length_m);
    return;
  }
  if (!base::valid(*at))
    throw Error(ErrorCode::bad_value,
                fmt::format("the place {}, {} is not on Earth", at->lat_deg, at->lon_deg));
  blocks.spread(earth::Utm::from_epsg(g.epsg).forward(*at), radius_m, length_m);
}

void place_finds(const records::Outing& outing, const std::string& species, const raster::Georef& g,
                 const Blocks& blocks, bool placeable, OutingData& data) {
  const earth::Utm utm = earth::Utm::from_epsg(g.epsg);
  for (const records::Find& find : outing.finds) {
    if (find.species != species) continue;
    if (!find.place || !base::valid(*find.place)) {
      ++data.unplaced_finds;
      continue;
    }
    const PlanePoint place = utm.forward(*find.place);
    const auto [cell, away_m] = blocks.nearest(place);
    if (placeable && away_m <= kFindReach_m)
      ++data.cells[cell].finds;
    else if (g.contains(place.x_m, place.y_m))
      ++data.unplaced_finds;
    else
      ++data.finds_elsewhere;
  }
}

}  // namespace

int OutingData::total() const {
  return std::accumulate(cells.begin(), cells.end(), unplaced_finds,
                         [](int sum, const ExposedCell& cell) { return sum + cell.finds; });
}

double exposure_ha(double area_m2, double length_m, double sweep_width_m) {
  if (!(area_m2 > 0) || !(length_m > 0)) return 0;
  return -area_m2 * std::expm1(-sweep_width_m * length_m / area_m2) / base::kSquareMetresPerHectare;
}

OutingData expose(const records::Outing& outing, const std::string& species,
                  const ground::CovariateField& field, double sweep_width_m, double search_speed_m_per_min,
                  std::optional<LatLon> at) {
  require_in(sweep_width_m, 0.5, 100, "the sweep width", "m");
  require_in(search_speed_m_per_min, 1, 100, "the search speed", "m/min");
  require_in(outing.people, 1, 1000, "the number of people", "");
  OutingData data;
  data.date = outing.date;
  if (std::find(outing.targets.begin(), outing.targets.end(), species) == outing.targets.end()) return data;
  Blocks blocks(field, sweep_width_m);
  const raster::Georef& g = field.georef();
  const bool tracked = expose_track(outing, g, blocks, data);
  if (!tracked) expose_minutes(outing, g, at, sweep_width_m, search_speed_m_per_min, blocks, data);
  blocks.collect(sweep_width_m, data);
  place_finds(outing, species, g, blocks, tracked || at.has_value(), data);
  return data;
}

void set_index(OutingData& outing, const ground::IndexByHeight& index) {
  outing.log_index.clear();
  for (const ExposedCell& cell : outing.cells)
    outing.log_index.push_back(ground::log_index(index, cell.elevation_m));
}

}  // namespace stumpwise::learn
