#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

#include "stumpwise/base/error.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/units.h"
#include "stumpwise/walk/route.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::walk {
namespace {

/// A patch of less than this share of a whole square is a sliver, not worth a stop of its own.
constexpr double kLeastShare = 0.25;

/// A square window by its first cell, with what a search there promises.
struct Candidate {
  double promise = 0;
  std::size_t corner = 0;
  bool operator<(const Candidate& other) const {
    return promise != other.promise ? promise < other.promise : corner > other.corner;
  }
};

class PatchFinder {
 public:
  PatchFinder(const raster::Grid& finds_per_ha, const raster::Grid* wall, double side_m,
              const PatchReach* reach)
      : map_(finds_per_ha), reach_(reach), taken_(finds_per_ha.values.size(), 0) {
    const raster::Georef& g = map_.georef;
    if (!(side_m > 0))
      throw Error(ErrorCode::bad_value, "patch side " + std::to_string(side_m) + ": above 0 metres");
    if (wall) raster::require_same(g, wall->georef);
    const int side = std::max(1, static_cast<int>(std::floor(side_m / g.cell_m + 1e-6)));
    width_ = std::min(side, g.cols);
    height_ = std::min(side, g.rows);
    stride_ = std::max(1, side / 3);
    for (std::size_t i = 0; i < taken_.size(); ++i)
      if ((wall && !(wall->values[i] <= 0)) || !std::isfinite(map_.values[i]) || map_.values[i] < 0)
        taken_[i] = 1;
  }

  std::vector<Patch> find(int most) {
    std::vector<Patch> patches;
    if (map_.values.empty() || most <= 0) return patches;
    std::priority_queue<Candidate> queue = candidates();
    while (!queue.empty() && static_cast<int>(patches.size()) < most) {
      base::check_interrupt();
      const Candidate top = queue.top();
      queue.pop();
      // Cells may have gone to other patches since: look again, and wait in the queue if another is better
      // now.
      const std::vector<std::size_t> cells = joined_cells(top.corner);
      const double promise = promise_of(cells, top.corner);
      if (!(promise > 0)) continue;
      if (!queue.empty() && Candidate{promise, top.corner} < queue.top()) {
        queue.push({promise, top.corner});
        continue;
      }
      patches.push_back(patch(cells, static_cast<int>(patches.size()) + 1));
      for (std::size_t cell : cells) taken_[cell] = 1;
    }
    return patches;
  }

 private:
  int col_of(std::size_t cell) const { return static_cast<int>(cell % map_.georef.cols); }
  int row_of(std::size_t cell) const { return static_cast<int>(cell / map_.georef.cols); }
  double cell_m2() const { return map_.georef.cell_m * map_.georef.cell_m; }

  /// Finds that the effort which sweeps a whole square once makes in this patch (Koopman), times the share of
  /// the hours that is left after the way there and back.
  double promise(double finds, int cells, std::size_t corner) const {
    const double whole = static_cast<double>(width_) * height_;
    if (cells < kLeastShare * whole || !(finds > 0)) return 0;
    return finds * -std::expm1(-whole / cells) * share_left(corner);
  }

  double share_left(std::size_t corner) const {
    if (!reach_) return 1;
    const raster::Georef& g = map_.georef;
    const double x_m = g.x_of(col_of(corner)) + 0.5 * (width_ - 1) * g.cell_m;
    const double y_m = g.y_of(row_of(corner)) - 0.5 * (height_ - 1) * g.cell_m;
    const double way_m = std::hypot(reach_->start.x_m - x_m, reach_->start.y_m - y_m) +
                         std::hypot(reach_->end.x_m - x_m, reach_->end.y_m - y_m);
    const double way_min = way_m / (tobler_m_per_min(0) * kOffPath);
    return reach_->budget_min > 0 ? std::max(0.0, 1 - way_min / reach_->budget_min) : 0;
  }

  double promise_of(const std::vector<std::size_t>& cells, std::size_t corner) const {
    double sum = 0;
    for (std::size_t cell : cells) sum += map_.values[cell];
    return promise(sum * cell_m2() / base::kSquareMetresPerHectare, static_cast<int>(cells.size()), corner);
  }

  /// Windows at every third of a side, by sums down the columns and then along the rows.
  std::priority_queue<Candidate> candidates() const {
    const raster::Georef& g = map_.georef;
    std::vector<Candidate> found;
    std::vector<double> column_sum(static_cast<std::size_t>(g.cols));
    std::vector<int> column_count(static_cast<std::size_t>(g.cols));
    for (int row : corners(g.rows, height_)) {
      std::fill(column_sum.begin(), column_sum.end(), 0);
      std::fill(column_count.begin(), column_count.end(), 0);
      for (int r = row; r < row + height_; ++r)
        for (int col = 0; col < g.cols; ++col) {
          const std::size_t cell = g.index(col, r);
          if (taken_[cell]) continue;
          column_sum[col] += map_.values[cell];
          ++column_count[col];
        }
      for (int col : corners(g.cols, width_)) {
        double sum = 0;
        int count = 0;
        for (int c = col; c < col + width_; ++c) {
          sum += column_sum[c];
          count += column_count[c];
        }
        const std::size_t corner = g.index(col, row);
        const double promised = promise(sum * cell_m2() / base::kSquareMetresPerHectare, count, corner);
        if (promised > 0) found.push_back({promised, corner});
      }
    }
    return std::priority_queue<Candidate>(std::less<Candidate>(), std::move(found));
  }

  /// First columns (rows) of the windows; the last window ends at the edge.
  std::vector<int> corners(int cells, int window) const {
    std::vector<int> found;
    for (int at = 0; at + window <= cells; at += stride_) found.push_back(at);
    if (found.back() + window < cells) found.push_back(cells - window);
    return found;
  }

  /// The largest part of the window's free cells that hangs together by sides, so that no patch lies on two
  /// banks.
  std::vector<std::size_t> joined_cells(std::size_t corner) const {
    const int left = col_of(corner), top = row_of(corner);
    std::vector<std::uint8_t> seen(static_cast<std::size_t>(width_) * height_, 0);
    std::vector<std::size_t> best;
    for (int row = top; row < top + height_; ++row)
      for (int col = left; col < left + width_; ++col) {
        std::vector<std::size_t> part;
        const auto visit = [&](int c, int r) {
          if (c < left || r < top || c >= left + width_ || r >= top + height_) return;
          std::uint8_t& mark = seen[static_cast<std::size_t>(r - top) * width_ + (c - left)];
          if (mark || taken_[map_.georef.index(c, r)]) return;
          mark = 1;
          part.push_back(map_.georef.index(c, r));
        };
        visit(col, row);
        for (std::size_t i = 0; i < part.size(); ++i) {
          const int c = col_of(part[i]), r = row_of(part[i]);
          visit(c - 1, r);
          visit(c + 1, r);
          visit(c, r - 1);
          visit(c, r + 1);
        }
        if (part.size() > best.size()) best = std::move(part);
      }
    std::sort(best.begin(), best.end());
    return best;
  }

  Patch patch(const std::vector<std::size_t>& cells, int id) const {
    const raster::Georef& g = map_.georef;
    double finds = 0, x = 0, y = 0;
    for (std::size_t cell : cells) {
      finds += map_.values[cell];
      x += map_.values[cell] * g.x_of(col_of(cell));
      y += map_.values[cell] * g.y_of(row_of(cell));
    }
    const earth::PlanePoint middle{x / finds, y / finds};
    Patch patch;
    patch.id = id;
    patch.cells = cells;
    patch.area_m2 = static_cast<double>(cells.size()) * cell_m2();
    patch.expected = patch.low90 = patch.high90 = finds * cell_m2() / base::kSquareMetresPerHectare;
    double nearest_m = std::numeric_limits<double>::infinity();
    for (std::size_t cell : cells) {
      const earth::PlanePoint at{g.x_of(col_of(cell)), g.y_of(row_of(cell))};
      const double away_m = std::hypot(at.x_m - middle.x_m, at.y_m - middle.y_m);
      if (away_m < nearest_m) {
        nearest_m = away_m;
        patch.centre = at;
      }
    }
    return patch;
  }

  const raster::Grid& map_;
  const PatchReach* reach_;
  std::vector<std::uint8_t> taken_;  ///< walls and nodata too
  int width_ = 1, height_ = 1, stride_ = 1;
};

}  // namespace

std::vector<Patch> find_patches(const raster::Grid& finds_per_ha, const raster::Grid* wall, double side_m,
                                int most, const PatchReach* reach) {
  return PatchFinder(finds_per_ha, wall, side_m, reach).find(most);
}

}  // namespace stumpwise::walk
