#include "stumpwise/terrain/terrain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <queue>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/parallel.h"

namespace stumpwise::terrain {
namespace {

using raster::Georef;
using raster::Grid;
using raster::Quantity;

constexpr std::size_t kInterruptEvery = 1 << 16;
constexpr int kStepCol[8] = {1, 1, 0, -1, -1, -1, 0, 1};
constexpr int kStepRow[8] = {0, 1, 1, 1, 0, -1, -1, -1};

double step_length(int k, double cell_m) {
  return k % 2 == 0 ? cell_m : cell_m * std::sqrt(2.0);
}

/// Summed areas of the values and of their number, one row and column larger than the grid.
struct SummedArea {
  std::vector<double> sum;
  std::vector<int> count;
  int width;
  explicit SummedArea(const Grid& grid) : width(grid.georef.cols + 1) {
    sum.assign(static_cast<std::size_t>(width) * (grid.georef.rows + 1), 0);
    count.assign(sum.size(), 0);
    for (int row = 0; row < grid.georef.rows; ++row) {
      double line = 0;
      int n = 0;
      for (int col = 0; col < grid.georef.cols; ++col) {
        const float v = grid.at(col, row);
        if (!std::isnan(v)) {
          line += v;
          ++n;
        }
        const std::size_t here = static_cast<std::size_t>(row + 1) * width + col + 1;
        sum[here] = sum[here - width] + line;
        count[here] = count[here - width] + n;
      }
    }
  }
  template <class T>
  T box(const std::vector<T>& table, int c0, int r0, int c1, int r1) const {
    auto at = [&](int c, int r) { return table[static_cast<std::size_t>(r) * width + c]; };
    return at(c1, r1) - at(c0, r1) - at(c1, r0) + at(c0, r0);
  }
};

/// Cells from the highest to the lowest.
std::vector<std::size_t> from_the_top(const Grid& filled) {
  std::vector<std::size_t> order;
  order.reserve(filled.values.size());
  for (std::size_t i = 0; i < filled.values.size(); ++i)
    if (!std::isnan(filled.values[i])) order.push_back(i);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return filled.values[a] != filled.values[b] ? filled.values[a] > filled.values[b] : a < b;
  });
  return order;
}

/// Specific catchment area (m) by multiple flow: shares by slope^1.1 (Freeman 1991, Comput. Geosci. 17:413).
std::vector<double> multiple_flow_area(const Grid& filled) {
  const Georef& g = filled.georef;
  std::vector<double> area(filled.values.size(), 1.0);
  for (std::size_t cell : from_the_top(filled)) {
    const int col = static_cast<int>(cell % g.cols), row = static_cast<int>(cell / g.cols);
    double share[8], total = 0;
    for (int k = 0; k < 8; ++k) {
      share[k] = 0;
      const int c = col + kStepCol[k], r = row + kStepRow[k];
      if (!g.inside(c, r) || std::isnan(filled.at(c, r))) continue;
      const double drop = filled.values[cell] - filled.at(c, r);
      if (drop > 0) total += share[k] = std::pow(drop / step_length(k, g.cell_m), 1.1);
    }
    if (total <= 0) continue;
    for (int k = 0; k < 8; ++k)
      if (share[k] > 0) area[g.index(col + kStepCol[k], row + kStepRow[k])] += area[cell] * share[k] / total;
  }
  for (double& a : area) a *= g.cell_m;
  return area;
}

}  // namespace

Grid position(const Grid& dem, double radius_m, int threads) {
  const Georef& g = dem.georef;
  const SummedArea areas(dem);
  const int radius = std::max(1, static_cast<int>(std::lround(radius_m / g.cell_m)));
  Grid result(g, Quantity::position_m);
  base::parallel_ranges(static_cast<std::size_t>(g.rows), threads, [&](std::size_t begin, std::size_t end) {
    for (int row = static_cast<int>(begin); row < static_cast<int>(end); ++row) {
      for (int col = 0; col < g.cols; ++col) {
        if (std::isnan(dem.at(col, row))) continue;
        const int c0 = std::max(0, col - radius), c1 = std::min(g.cols, col + radius + 1);
        const int r0 = std::max(0, row - radius), r1 = std::min(g.rows, row + radius + 1);
        result.at(col, row) = static_cast<float>(
            dem.at(col, row) - areas.box(areas.sum, c0, r0, c1, r1) / areas.box(areas.count, c0, r0, c1, r1));
      }
    }
  });
  return result;
}

Grid fill_depressions(const Grid& dem) {
  // Priority flood from the borders (and the rims of holes) inwards, each cell at least one float step above
  // its outlet.
  const Georef& g = dem.georef;
  Grid filled = dem;
  struct Entry {
    float z;
    std::size_t cell;
    bool operator<(const Entry& o) const { return z != o.z ? z > o.z : cell > o.cell; }
  };
  std::priority_queue<Entry> open;
  std::vector<char> seen(dem.values.size(), 0);
  for (int row = 0; row < g.rows; ++row) {
    for (int col = 0; col < g.cols; ++col) {
      const std::size_t cell = g.index(col, row);
      if (std::isnan(dem.values[cell])) continue;
      bool rim = false;
      for (int k = 0; k < 8 && !rim; ++k) {
        const int c = col + kStepCol[k], r = row + kStepRow[k];
        rim = !g.inside(c, r) || std::isnan(dem.at(c, r));
      }
      if (!rim) continue;
      seen[cell] = 1;
      open.push({dem.values[cell], cell});
    }
  }
  for (std::size_t taken = 0; !open.empty(); ++taken) {
    if (taken % kInterruptEvery == 0) base::check_interrupt();
    const std::size_t cell = open.top().cell;
    open.pop();
    const int col = static_cast<int>(cell % g.cols), row = static_cast<int>(cell / g.cols);
    const float least = std::nextafter(filled.values[cell], 1e30f);
    for (int k = 0; k < 8; ++k) {
      const int c = col + kStepCol[k], r = row + kStepRow[k];
      if (!g.inside(c, r)) continue;
      const std::size_t next = g.index(c, r);
      if (seen[next] || std::isnan(filled.values[next])) continue;
      seen[next] = 1;
      filled.values[next] = std::max(filled.values[next], least);
      open.push({filled.values[next], next});
    }
  }
  return filled;
}

Grid flow_accumulation(const Grid& filled) {
  const Georef& g = filled.georef;
  // Counted in double: a float stops counting at 16.7 million cells.
  std::vector<double> count(filled.values.size(), 1);
  for (std::size_t cell : from_the_top(filled)) {
    const int col = static_cast<int>(cell % g.cols), row = static_cast<int>(cell / g.cols);
    double steepest = 0;
    int best = -1;
    for (int k = 0; k < 8; ++k) {
      const int c = col + kStepCol[k], r = row + kStepRow[k];
      if (!g.inside(c, r) || std::isnan(filled.at(c, r))) continue;
      const double slope = (filled.values[cell] - filled.at(c, r)) / step_length(k, g.cell_m);
      if (slope > steepest) {
        steepest = slope;
        best = k;
      }
    }
    if (best >= 0) count[g.index(col + kStepCol[best], row + kStepRow[best])] += count[cell];
  }
  Grid cells(g, Quantity::cells);
  for (std::size_t i = 0; i < count.size(); ++i)
    if (!std::isnan(filled.values[i])) cells.values[i] = static_cast<float>(count[i]);
  return cells;
}

double wetness_index(double specific_area_m, double slope_deg) {
  return std::log(specific_area_m / std::tan(Angle::degrees(slope_deg).rad()));
}

Grid wetness_index(const Grid& dem, const Grid& slope_deg) {
  raster::require_same(dem.georef, slope_deg.georef);
  constexpr double kFlattest_deg = 0.1;
  const std::vector<double> area_m = multiple_flow_area(fill_depressions(dem));
  Grid wetness(dem.georef, Quantity::wetness);
  for (std::size_t i = 0; i < area_m.size(); ++i)
    if (!std::isnan(dem.values[i]))
      wetness.values[i] =
          static_cast<float>(wetness_index(area_m[i], std::max<double>(slope_deg.values[i], kFlattest_deg)));
  return wetness;
}

double heat_load(int equation, double latitude_deg, double slope_deg, double aspect_deg) {
  const double lat = std::abs(latitude_deg);
  const double steepest = equation == 1 ? 90 : 60, lowest = equation == 3 ? 30 : 0;
  if (equation < 1 || equation > 3)
    throw Error(ErrorCode::bad_value, fmt::format("heat load equation {}: 1, 2 or 3", equation));
  if (lat < lowest || lat > 60)
    throw Error(ErrorCode::bad_value, fmt::format("heat load equation {} at latitude {}: {} to 60", equation,
                                                  latitude_deg, lowest));
  if (slope_deg < 0 || slope_deg > steepest)
    throw Error(ErrorCode::bad_value, fmt::format("heat load equation {} at slope {}: 0 to {} degrees",
                                                  equation, slope_deg, steepest));
  const double northern = latitude_deg >= 0 ? aspect_deg : 180 - aspect_deg;
  double aspect = std::fmod(northern, 360.0);
  if (aspect < 0) aspect += 360;
  const double a = Angle::degrees(std::abs(180 - std::abs(aspect - 225))).rad();
  const double l = Angle::degrees(lat).rad(), s = Angle::degrees(slope_deg).rad();
  const double cc = std::cos(l) * std::cos(s), css = std::cos(a) * std::sin(s) * std::sin(l),
               ss = std::sin(l) * std::sin(s), as = std::sin(a) * std::sin(s);
  if (equation == 1) return std::exp(-1.467 + 1.582 * cc - 1.500 * css - 0.262 * ss + 0.607 * as);
  if (equation == 2) return std::exp(-1.236 + 1.350 * cc - 1.376 * css - 0.331 * ss + 0.375 * as);
  return 0.339 + 0.808 * cc - 0.196 * ss - 0.482 * std::cos(a) * std::sin(s);
}

Grid heat_load(const Grid& slope_deg, const Grid& aspect_deg, double latitude_deg, int threads) {
  raster::require_same(slope_deg.georef, aspect_deg.georef);
  // Poleward of the equations' range the last latitude stands in: a gradient of warm and cool sides is still
  // one.
  const double latitude = std::clamp(latitude_deg, -60.0, 60.0);
  Grid result(slope_deg.georef, Quantity::heat_load);
  base::parallel_ranges(result.values.size(), threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      if (std::isnan(slope_deg.values[i])) continue;
      const double aspect = std::isnan(aspect_deg.values[i]) ? 0.0 : aspect_deg.values[i];
      result.values[i] = static_cast<float>(heat_load(1, latitude, slope_deg.values[i], aspect));
    }
  });
  return result;
}

}  // namespace stumpwise::terrain
