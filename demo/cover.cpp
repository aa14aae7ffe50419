#include <algorithm>
#include <cmath>

#include "land.h"
#include "noise.h"
#include "stumpwise/demo/sites.h"

namespace stumpwise::demo {
namespace {

constexpr double kStand_m = 250;  ///< spacing of the stands' middles: about 6 hectares each

/// The middle of the stand of one lattice cell.
PlanePoint stand_middle(std::uint64_t seed, int ix, int iy) {
  return {(ix + 0.5 + 0.8 * (lattice_uniform(seed, ix, iy) - 0.5)) * kStand_m,
          (iy + 0.5 + 0.8 * (lattice_uniform(seed + 1, ix, iy) - 0.5)) * kStand_m};
}

struct StandPlace {
  double elevation_m, slope_deg, river_m, northness, field, draw;
};

/// The wood or field of a stand, from its middle's height, slope, aspect and distance to the river, `field`
/// (how much the neighbourhood is farmed, about -1 to 1) and a draw of its own.
Cover stand_cover(const StandPlace& p) {
  if (p.river_m < 240) return p.draw < 0.5 ? kPasture : p.draw < 0.78 ? kElmAsh : kAlderWillow;
  if (p.slope_deg < 13 && p.elevation_m < 430 && p.field > 0.08 + (p.elevation_m - 280) / 500)
    return kPasture;
  if (p.elevation_m < 310)
    return p.draw < 0.24 ? kElmAsh : p.draw < 0.62 ? kBeechAshMaple : p.draw < 0.92 ? kOakBeech : kPasture;
  if (p.elevation_m < 440)
    return p.draw < 0.05                        ? kElmAsh
           : p.draw + 0.25 * p.northness < 0.48 ? kOakBeech
           : p.draw < 0.93                      ? kBeechAshMaple
                                                : kBeechSpruce;
  if (p.elevation_m < 530)
    return p.draw < 0.36   ? kOakBeech
           : p.draw < 0.56 ? kBeechAshMaple
           : p.draw < 0.85 ? kBeechSpruce
           : p.draw < 0.93 ? kHeath
                           : kSpruceHemlock;
  const double heath = 0.12 + 0.5 * smooth_step(620, 760, p.elevation_m);
  return p.draw < heath ? kHeath : p.draw < heath + 0.14 ? kBeechSpruce : kSpruceHemlock;
}

class Stands {
 public:
  Stands(const Relief& relief, std::uint64_t seed) : relief_(relief), seed_(seed) {
    for (int iy = 0; iy < kRows; ++iy)
      for (int ix = 0; ix < kCols; ++ix) {
        const PlanePoint middle = stand_middle(seed, ix - 1, iy - 1);
        middles_.push_back(middle);
        covers_.push_back(cover_of(middle, ix, iy));
      }
  }
  /// Nearest middle, with edges that wander.
  Cover at(double east_m, double north_m) const {
    const double x = east_m + 70 * summed_noise(seed_ + 2, east_m / 260, north_m / 260, 2),
                 y = north_m + 70 * summed_noise(seed_ + 3, east_m / 260, north_m / 260, 2);
    const int ix = static_cast<int>(std::floor(x / kStand_m)) + 1,
              iy = static_cast<int>(std::floor(y / kStand_m)) + 1;
    double best = 1e18;
    Cover cover = kPasture;
    for (int dy = -1; dy <= 1; ++dy)
      for (int dx = -1; dx <= 1; ++dx) {
        const int cx = std::clamp(ix + dx, 0, kCols - 1), cy = std::clamp(iy + dy, 0, kRows - 1);
        const std::size_t k = static_cast<std::size_t>(cy) * kCols + cx;
        const double square =
            (middles_[k].x_m - x) * (middles_[k].x_m - x) + (middles_[k].y_m - y) * (middles_[k].y_m - y);
        if (square >= best) continue;
        best = square;
        cover = covers_[k];
      }
    return cover;
  }

 private:
  static constexpr int kCols = 50, kRows = 38;
  Cover cover_of(const PlanePoint& middle, int ix, int iy) const {
    const raster::Georef& g = relief_.elevation_m.georef;
    const PlanePoint at = local_point(middle.x_m, middle.y_m);
    const int col = std::clamp(g.col_of(at.x_m), 4, g.cols - 5),
              row = std::clamp(g.row_of(at.y_m), 4, g.rows - 5);
    const double fall_north =
        relief_.elevation_m.at(col, row + 4) - relief_.elevation_m.at(col, row - 4);  // positive: faces north
    return stand_cover({relief_.elevation_m.at(col, row), relief_.slope_deg.at(col, row),
                        std::abs(relief_.river_distance_m.at(col, row)),
                        std::clamp(fall_north / 25, -1.0, 1.0),
                        summed_noise(seed_ + 4, middle.x_m / 1900, middle.y_m / 1900, 2),
                        lattice_uniform(seed_ + 5, ix, iy)});
  }
  const Relief& relief_;
  std::uint64_t seed_;
  std::vector<PlanePoint> middles_;
  std::vector<Cover> covers_;
};

bool near(const PlanePoint& a, const PlanePoint& b, double metres) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m) < metres;
}

/// Woods of elm and ash, or of alder higher up, along the streams.
void line_streams(Land& land) {
  const raster::Georef& g = land.cover.georef;
  for (const Stream& stream : land.streams)
    for (const PlanePoint& p : stream.line) {
      const int c = g.col_of(p.x_m), r = g.row_of(p.y_m);
      for (int dr = -3; dr <= 3; ++dr)
        for (int dc = -3; dc <= 3; ++dc) {
          if (!g.inside(c + dc, r + dr) || dc * dc + dr * dr > 9) continue;
          const std::size_t i = g.index(c + dc, r + dr);
          if (land.relief.elevation_m.values[i] < 400) land.cover.codes[i] = kElmAsh;
        }
    }
}

}  // namespace

void make_cover(Land& land, std::uint64_t seed) {
  const raster::Georef& g = land.relief.elevation_m.georef;
  land.cover = {g, std::vector<std::uint8_t>(g.size(), kPasture)};
  const Stands stands(land.relief, seed);
  const auto for_cells = [&](auto cover_of) {
    for (int row = 0; row < g.rows; ++row)
      for (int col = 0; col < g.cols; ++col)
        cover_of(land.cover.codes[g.index(col, row)], col, row, PlanePoint{g.x_of(col), g.y_of(row)});
  };
  for_cells([&](std::uint8_t& code, int, int, const PlanePoint& p) {
    code = stands.at(p.x_m - g.left_m, p.y_m - (g.top_m - g.rows * g.cell_m));
  });
  line_streams(land);
  const PlanePoint tarnwick = plane_point(kTarnwickWood.place), lantern = plane_point(kLanternRidge.place),
                   stoop = plane_point(kColdStoop.place), green = plane_point(kBridgeGreen.place);
  const auto& wood = area_named(land.access, "Tarnwick Wood").ring;
  const auto& burn = area_named(land.history, "Long Burn").ring;
  const auto& orchard = area_named(land.history, "Hobb's Orchard").ring;
  const PlanePoint burn_middle = local_point(7900, 7650), orchard_middle = plane_point(kHobbsOrchard.place);
  for_cells([&](std::uint8_t& code, int col, int row, const PlanePoint& p) {
    if (near(p, lantern, 260)) code = kOakBeech;
    if (near(p, stoop, 260)) code = kSpruceHemlock;
    if (near(p, green, 110)) code = kGardens;
    if (near(p, tarnwick, 600) && inside_ring(wood, p)) code = kElmAsh;
    if (near(p, burn_middle, 700) && inside_ring(burn, p)) code = kBirchPoplar;
    if (near(p, orchard_middle, 200) && inside_ring(orchard, p)) code = kOrchard;
    if (land.relief.slope_deg.at(col, row) > 40) code = kRock;
    if (land.relief.channel[g.index(col, row)]) code = kWater;
  });
}

std::uint8_t Land::cover_at(const PlanePoint& point) const {
  const raster::Georef& g = cover.georef;
  return g.contains(point.x_m, point.y_m) ? cover.codes[g.index(g.col_of(point.x_m), g.row_of(point.y_m))]
                                          : raster::ClassGrid::kNone;
}

Land make_land(std::uint64_t seed, const base::Progress& progress) {
  Land land;
  land.relief = make_relief(seed, progress);
  land.streams = trace_streams(land.relief, 25);
  make_areas(land, seed + 100);
  make_cover(land, seed + 200);
  make_trees(land, seed + 300);
  return land;
}

}  // namespace stumpwise::demo
