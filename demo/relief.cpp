#include "relief.h"

#include <algorithm>
#include <cmath>

#include "drainage.h"
#include "noise.h"
#include "stumpwise/demo/sites.h"
#include "valley_frame.h"

namespace stumpwise::demo {
namespace {

using raster::Georef;
using raster::Grid;
using raster::Quantity;

double bump(double east_m, double north_m, double centre_east_m, double centre_north_m, double sigma_m) {
  const double x = east_m - centre_east_m, y = north_m - centre_north_m;
  return std::exp(-(x * x + y * y) / (2 * sigma_m * sigma_m));
}

/// Lantern Ridge: a long crest whose axis runs east-north-east.
double ridge(double east_m, double north_m) {
  constexpr double kCos = 0.94, kSin = 0.342, kLong_m = 1500, kWide_m = 330;
  const double x = east_m - 3600, y = north_m - 6600, along = kCos * x + kSin * y,
               across = kCos * y - kSin * x;
  return std::exp(-along * along / (2 * kLong_m * kLong_m) - across * across / (2 * kWide_m * kWide_m));
}

/// The land before water works on it.
double macro_m(std::uint64_t seed, const ValleyFrame& frame, double east_m, double north_m) {
  const auto place = frame.at(east_m, north_m);
  const double away_m = std::abs(place.distance_m);
  const double x = east_m / 1000, y = north_m / 1000;
  const double warp_x = 0.55 * summed_noise(seed + 11, x / 2.2, y / 2.2, 3),
               warp_y = 0.55 * summed_noise(seed + 12, x / 2.2, y / 2.2, 3);
  const double rolling = summed_noise(seed + 13, (x + warp_x) / 2.6, (y + warp_y) / 2.6, 5);
  const double crests = ridged_noise(seed + 14, (x + warp_x) / 2.3, (y + warp_y) / 2.3, 4);
  const double height = place.distance_m > 0 ? 235 : 330;
  const double side = smooth_step(0, 1, (away_m - 220) / 3300), open = smooth_step(180, 1300, away_m);
  return river_level_m(place.way_km) + 6 * smooth_step(30, 240, away_m) + height * side +
         open * (95 * rolling + 95 * (crests - 0.6)) +
         smooth_step(200, 600, away_m) * 24 * summed_noise(seed + 15, x / 0.65, y / 0.65, 3) +
         110 * bump(east_m, north_m, 9300, 2000, 1100) + 75 * ridge(east_m, north_m);
}

/// Adds smooth swells so that the sites stand at their heights; `read` gives the surface.
struct Swell {
  double east_m, north_m, height_m, sigma_m;
};
template <class Read>
std::vector<Swell> swells_to_sites(Read read, double sigma_m) {
  std::vector<Swell> swells;
  for (const Site& site : {kTarnwickWood, kLanternRidge, kColdStoop, kHobbsOrchard}) {
    const PlanePoint at = plane_point(site.place);
    swells.push_back({at.x_m - kLeft_m, at.y_m - kBottom_m, 0, sigma_m});
    swells.back().height_m = site.elevation_m - read(swells.back().east_m, swells.back().north_m);
  }
  return swells;
}
double swell_m(const std::vector<Swell>& swells, double east_m, double north_m) {
  double sum = 0;
  for (const Swell& s : swells) sum += s.height_m * bump(east_m, north_m, s.east_m, s.north_m, s.sigma_m);
  return sum;
}

/// A surface on cells coarser than the map's, over the map and a kilometre around it.
struct Coarse {
  double cell_m;
  int cols, rows;
  std::vector<float> z;
  explicit Coarse(double cell)
      : cell_m(cell),
        cols(static_cast<int>((kCols * kCell_m + 2 * kPad_m) / cell)),
        rows(static_cast<int>((kRows * kCell_m + 2 * kPad_m) / cell)),
        z(static_cast<std::size_t>(cols) * rows) {}
  double east_m(int col) const { return (col + 0.5) * cell_m - kPad_m; }
  double north_m(int row) const { return (rows - row - 0.5) * cell_m - kPad_m; }
  std::size_t index(int col, int row) const { return static_cast<std::size_t>(row) * cols + col; }
  /// Cubic between the cells' centres.
  double at(double east, double north) const {
    const double x = (east + kPad_m) / cell_m - 0.5, y = rows - 0.5 - (north + kPad_m) / cell_m;
    const int col = std::clamp(static_cast<int>(std::floor(x)), 1, cols - 3),
              row = std::clamp(static_cast<int>(std::floor(y)), 1, rows - 3);
    const double u = std::clamp(x - col, -1.0, 2.0), v = std::clamp(y - row, -1.0, 2.0);
    double lines[4];
    for (int k = 0; k < 4; ++k) {
      const float* p = &z[index(col - 1, row - 1 + k)];
      lines[k] = catmull_rom(p[0], p[1], p[2], p[3], u);
    }
    return catmull_rom(lines[0], lines[1], lines[2], lines[3], v);
  }
};

std::vector<std::uint8_t> river_cells(const Coarse& land, const ValleyFrame& frame) {
  std::vector<std::uint8_t> cells(land.z.size(), 0);
  for (int row = 0; row < land.rows; ++row)
    for (int col = 0; col < land.cols; ++col)
      cells[land.index(col, row)] =
          std::abs(frame.at(land.east_m(col), land.north_m(row)).distance_m) < 0.7 * land.cell_m;
  return cells;
}

double level_at(const ValleyFrame& frame, double east_m, double north_m) {
  return river_level_m(frame.at(east_m, north_m).way_km);
}

/// Lets the macro form rise while rivers wear it, which gives ridges and branching valleys; then brings it
/// back to the macro form's mean height over the river.
Coarse grown_land(std::uint64_t seed, const ValleyFrame& frame) {
  Coarse land(40);
  const std::vector<std::uint8_t> outlet = river_cells(land, frame);
  Wear wear{.cell_m = land.cell_m,
            .rounds = 70,
            .strength = 1.4,
            .creep = 0.2f,
            .lift_m = std::vector<float>(land.z.size())};
  std::vector<float> level(land.z.size());
  constexpr double kFullLift = 60;  // rounds in which the whole macro form would rise
  double wanted = 0, got = 0;
  for (int row = 0; row < land.rows; ++row)
    for (int col = 0; col < land.cols; ++col) {
      const std::size_t i = land.index(col, row);
      const double east = land.east_m(col), north = land.north_m(row);
      level[i] = static_cast<float>(level_at(frame, east, north));
      const double above = std::max(0.0, macro_m(seed, frame, east, north) - level[i]);
      land.z[i] = outlet[i]
                      ? level[i]
                      : static_cast<float>(level[i] + 0.5 * above + 3 * lattice_uniform(seed + 40, col, row));
      wear.lift_m[i] = static_cast<float>(above / kFullLift);
      wanted += above;
    }
  wear_down(land.z, land.cols, land.rows, outlet, wear, seed + 41);
  for (std::size_t i = 0; i < land.z.size(); ++i) got += std::max(0.0f, land.z[i] - level[i]);
  constexpr double kWorn = 0.65;  // the rest is the macro form: it keeps the hills broad
  for (std::size_t i = 0; i < land.z.size(); ++i)
    land.z[i] = static_cast<float>(level[i] + kWorn * wanted / got * (land.z[i] - level[i]) +
                                   (1 - kWorn) * wear.lift_m[i] * kFullLift);
  return land;
}

/// The grown land on finer cells with its sites brought to their heights, worn a little more so that streams
/// find their way.
Coarse worn_land(std::uint64_t seed, const ValleyFrame& frame) {
  const Coarse grown = grown_land(seed, frame);
  Coarse land(20);
  const std::vector<std::uint8_t> outlet = river_cells(land, frame);
  // Bent, because flow in eight directions makes straight valleys.
  const auto bent = [&](double e, double n) {
    const double away = smooth_step(150, 800, std::abs(frame.at(e, n).distance_m));
    return grown.at(e + 130 * away * summed_noise(seed + 17, e / 800, n / 800, 2),
                    n + 130 * away * summed_noise(seed + 18, e / 800, n / 800, 2));
  };
  const auto swells = swells_to_sites(bent, 750);
  for (int row = 0; row < land.rows; ++row) {
    base::check_interrupt();
    for (int col = 0; col < land.cols; ++col) {
      const double east = land.east_m(col), north = land.north_m(row), level = level_at(frame, east, north);
      const std::size_t i = land.index(col, row);
      const double grain = 5 * summed_noise(seed + 16, east / 320, north / 320, 3) *
                           smooth_step(150, 600, std::abs(frame.at(east, north).distance_m));
      land.z[i] = static_cast<float>(
          outlet[i] ? level : std::max(level, bent(east, north) + swell_m(swells, east, north) + grain));
    }
  }
  wear_down(land.z, land.cols, land.rows, outlet,
            {.cell_m = land.cell_m, .rounds = 6, .strength = 0.1, .lift_m = {}}, seed + 42);
  return land;
}

/// A cliff on the north-west face of Cold Stoop: where the land passes 545 m its slope is many times what it
/// was.
double with_cliff_m(double z, double east_m, double north_m) {
  constexpr double kEdge_m = 545, kDrop_m = 46, kBand_m = 5, kFade_m = 75;
  const double here = smooth_step(0.30, 0.55, bump(east_m, north_m, 8350, 2750, 520));
  const double q = z - kEdge_m;
  return z + here * kDrop_m / 2 * std::tanh(q / kBand_m) * std::exp(-q * q / (kFade_m * kFade_m));
}

/// The river winds about the valley's middle line, but runs straight at the bridge.
River river_line(std::uint64_t seed, const MiddleLine& middle) {
  River river;
  for (std::size_t i = middle.points.size() - 1; i > 0; --i) {
    const PlanePoint &p = middle.points[i], &q = middle.points[i - 1];
    const double way = middle.way_km[i], dx = q.x_m - p.x_m, dy = q.y_m - p.y_m, length = std::hypot(dx, dy);
    const double phase = 2 * 3.141592653589793 * way / 0.95 + 2.2 * gradient_noise(seed + 31, way / 1.7, 0.5);
    const double calm = 1 - 0.95 * std::exp(-std::pow((p.x_m - kBridgeEast_m) / 420, 2));
    const double off = calm * (75 + 35 * gradient_noise(seed + 32, way / 2.1, 0.5)) * std::sin(phase);
    river.line.push_back({kLeft_m + p.x_m + off * dy / length, kBottom_m + p.y_m - off * dx / length});
    river.level_m.push_back(river_level_m(way));
  }
  return river;
}

/// Cells within `half_width_m` of the river's line, each with the river's level there.
std::vector<float> channel_levels(const Georef& g, const River& river, double half_width_m) {
  std::vector<float> levels(g.size(), std::nanf(""));
  std::vector<float> nearest(g.size(), static_cast<float>(half_width_m));
  for (std::size_t i = 0; i + 1 < river.line.size(); ++i) {
    const PlanePoint &a = river.line[i], &b = river.line[i + 1];
    const double dx = b.x_m - a.x_m, dy = b.y_m - a.y_m, square = dx * dx + dy * dy;
    const int c0 = std::max(0, g.col_of(std::min(a.x_m, b.x_m) - half_width_m)),
              c1 = std::min(g.cols - 1, g.col_of(std::max(a.x_m, b.x_m) + half_width_m));
    const int r0 = std::max(0, g.row_of(std::max(a.y_m, b.y_m) + half_width_m)),
              r1 = std::min(g.rows - 1, g.row_of(std::min(a.y_m, b.y_m) - half_width_m));
    for (int row = r0; row <= r1; ++row)
      for (int col = c0; col <= c1; ++col) {
        const double x = g.x_of(col) - a.x_m, y = g.y_of(row) - a.y_m,
                     t = std::clamp((x * dx + y * dy) / square, 0.0, 1.0);
        const auto distance = static_cast<float>(std::hypot(x - t * dx, y - t * dy));
        const std::size_t cell = g.index(col, row);
        if (distance > nearest[cell]) continue;
        nearest[cell] = distance;
        levels[cell] = static_cast<float>(river.level_m[i] + t * (river.level_m[i + 1] - river.level_m[i]));
      }
  }
  return levels;
}

Grid fine_land(std::uint64_t seed, const Coarse& coarse, const ValleyFrame& frame, Grid& river_distance_m) {
  const Georef g = valley_georef();
  Grid land(g, Quantity::elevation_m);
  const auto surface = [&](double east, double north) {
    return with_cliff_m(coarse.at(east, north), east, north);
  };
  const auto swells = swells_to_sites(surface, 450);
  for (int row = 0; row < g.rows; ++row) {
    base::check_interrupt();
    for (int col = 0; col < g.cols; ++col) {
      const double east = g.x_of(col) - g.left_m, north = g.y_of(row) - kBottom_m;
      const auto place = frame.at(east, north);
      const double rough = 0.4 + 0.6 * smooth_step(100, 500, std::abs(place.distance_m));
      const double grain = 2.2 * gradient_noise(seed + 21, east / 170, north / 170) +
                           0.7 * gradient_noise(seed + 22, east / 55, north / 55);
      const double level = river_level_m(place.way_km), away = std::abs(place.distance_m);
      const double slope_side =
          std::max(level - 0.3, surface(east, north) + swell_m(swells, east, north) + rough * grain);
      const double rise = level + 0.6 + 0.012 * std::min(away, 500.0), meadow = rise + rough * grain,
                   flat = 1 - smooth_step(120, 280, away);
      land.at(col, row) =
          static_cast<float>(std::max(rise, slope_side) + flat * (meadow - std::max(rise, slope_side)));
      river_distance_m.at(col, row) = static_cast<float>(place.distance_m);
    }
  }
  return land;
}

/// Cuts beds of up to 3.5 m into the lines of flow.
void cut_beds(Grid& land, const std::vector<float>& cells, const std::vector<std::uint8_t>& channel) {
  const Georef& g = land.georef;
  std::vector<float> cut(g.size(), 0);
  constexpr float kLeast_cells = 500;
  for (int row = 1; row < g.rows - 1; ++row)
    for (int col = 1; col < g.cols - 1; ++col) {
      const std::size_t i = g.index(col, row);
      if (cells[i] < kLeast_cells || channel[i]) continue;
      const auto depth = static_cast<float>(std::min(2.2, 0.3 * std::pow(cells[i] / 100, 0.4)));
      cut[i] = std::max(cut[i], depth);
      for (std::size_t other : {i - 1, i + 1, i - g.cols, i + g.cols})
        cut[other] = std::max(cut[other], 0.55f * depth);
    }
  for (std::size_t i = 0; i < cut.size(); ++i)
    if (!channel[i]) land.values[i] -= cut[i];
}

Grid horn_slope(const Grid& land) {
  const Georef& g = land.georef;
  Grid slope(g, Quantity::slope_deg);
  const auto z = [&](int col, int row) {
    return land.at(std::clamp(col, 0, g.cols - 1), std::clamp(row, 0, g.rows - 1));
  };
  for (int r = 0; r < g.rows; ++r)
    for (int c = 0; c < g.cols; ++c) {
      const double dx = (z(c + 1, r - 1) + 2 * z(c + 1, r) + z(c + 1, r + 1) - z(c - 1, r - 1) -
                         2 * z(c - 1, r) - z(c - 1, r + 1)) /
                        (8 * g.cell_m);
      const double dy = (z(c - 1, r + 1) + 2 * z(c, r + 1) + z(c + 1, r + 1) - z(c - 1, r - 1) -
                         2 * z(c, r - 1) - z(c + 1, r - 1)) /
                        (8 * g.cell_m);
      slope.at(c, r) = static_cast<float>(std::atan(std::hypot(dx, dy)) * 180 / 3.141592653589793);
    }
  return slope;
}

/// The bridge runs north and south across the river, with 25 m on either bank.
void place_bridge(Relief& relief) {
  const Georef& g = relief.elevation_m.georef;
  const int col = g.col_of(kLeft_m + kBridgeEast_m - 1);
  int first = g.rows, last = -1;
  for (int row = 0; row < g.rows; ++row)
    if (relief.channel[g.index(col, row)] || relief.channel[g.index(col + 1, row)]) {
      first = std::min(first, row);
      last = std::max(last, row);
    }
  relief.bridge_north = {kLeft_m + kBridgeEast_m, g.y_of(first) + 30};
  relief.bridge_south = {kLeft_m + kBridgeEast_m, g.y_of(last) - 30};
}

}  // namespace

Georef valley_georef() {
  return {kLeft_m, kBottom_m + kRows * kCell_m, kCell_m, kCols, kRows, valley_utm().epsg()};
}
earth::Utm valley_utm() {
  return earth::Utm(26, true);
}
PlanePoint local_point(double east_m, double north_m) {
  return {kLeft_m + east_m, kBottom_m + north_m};
}
PlanePoint plane_point(const LatLon& place) {
  return valley_utm().forward(place);
}
LatLon lat_lon(const PlanePoint& point) {
  return valley_utm().inverse(point);
}

Relief make_relief(std::uint64_t seed, const base::Progress& progress) {
  const auto tell = [&](double share) {
    if (progress) progress(share, "shaping the land");
  };
  tell(0);
  const ValleyFrame frame;
  const Coarse coarse = worn_land(seed, frame);
  tell(0.5);
  Relief relief;
  relief.river_distance_m = Grid(valley_georef(), Quantity::distance_m);
  relief.elevation_m = fine_land(seed, coarse, frame, relief.river_distance_m);
  relief.river = river_line(seed, frame.line());
  const Georef& g = relief.elevation_m.georef;
  const std::vector<float> levels = channel_levels(g, relief.river, 11);
  relief.channel.resize(g.size());
  for (std::size_t i = 0; i < g.size(); ++i) {
    relief.channel[i] = !std::isnan(levels[i]);
    if (relief.channel[i]) relief.elevation_m.values[i] = levels[i] - 1.8f;
  }
  const Flow rough = fill_and_route(relief.elevation_m.values, g.cols, g.rows, relief.channel);
  cut_beds(relief.elevation_m, accumulate(rough), relief.channel);
  tell(0.8);
  Flow flow = fill_and_route(relief.elevation_m.values, g.cols, g.rows, relief.channel);
  relief.upslope_cells = accumulate(flow);
  relief.receiver = std::move(flow.receiver);
  relief.slope_deg = horn_slope(relief.elevation_m);
  place_bridge(relief);
  tell(1);
  return relief;
}

}  // namespace stumpwise::demo
