#include "drainage.h"

#include <algorithm>
#include <cmath>
#include <queue>

#include "noise.h"
#include "stumpwise/base/interrupt.h"

namespace stumpwise::demo {
namespace {

constexpr float kLeastFall_m = 0.002f;
constexpr int kColStep[8] = {1, 1, 0, -1, -1, -1, 0, 1};
constexpr int kRowStep[8] = {0, 1, 1, 1, 0, -1, -1, -1};
constexpr float kDiagonal = 1.41421356f;

struct Waiting {
  float height_m;
  int cell;
  bool operator<(const Waiting& other) const {  // the lowest comes first, ties by number: the same everywhere
    return height_m != other.height_m ? height_m > other.height_m : cell > other.cell;
  }
};

int steepest_neighbour(const std::vector<float>& z, int cols, int rows, int cell) {
  const int col = cell % cols, row = cell / cols;
  int best = -1;
  float most = 0;
  for (int k = 0; k < 8; ++k) {
    const int c = col + kColStep[k], r = row + kRowStep[k];
    if (c < 0 || r < 0 || c >= cols || r >= rows) continue;
    const int other = r * cols + c;
    const float fall = (z[cell] - z[other]) / (k % 2 ? kDiagonal : 1.0f);
    if (fall > most) {
      most = fall;
      best = other;
    }
  }
  return best;
}

}  // namespace

Flow fill_and_route(std::vector<float>& z, int cols, int rows, const std::vector<std::uint8_t>& outlet) {
  base::check_interrupt();
  const int n = cols * rows;
  std::vector<std::uint8_t> seen(z.size(), 0);
  std::priority_queue<Waiting> queue;
  const auto is_end = [&](int cell) {
    const int col = cell % cols, row = cell / cols;
    return outlet[cell] || col == 0 || row == 0 || col == cols - 1 || row == rows - 1;
  };
  for (int i = 0; i < n; ++i)
    if (is_end(i)) {
      queue.push({z[i], i});
      seen[i] = 1;
    }
  Flow flow;
  flow.order.reserve(z.size());
  while (!queue.empty()) {
    const int cell = queue.top().cell;
    queue.pop();
    flow.order.push_back(cell);
    const int col = cell % cols, row = cell / cols;
    for (int k = 0; k < 8; ++k) {
      const int c = col + kColStep[k], r = row + kRowStep[k];
      if (c < 0 || r < 0 || c >= cols || r >= rows) continue;
      const int other = r * cols + c;
      if (seen[other]) continue;
      seen[other] = 1;
      z[other] = std::max(z[other], z[cell] + kLeastFall_m);
      queue.push({z[other], other});
    }
  }
  flow.receiver.assign(z.size(), -1);
  for (int i = 0; i < n; ++i)
    if (!is_end(i)) flow.receiver[i] = steepest_neighbour(z, cols, rows, i);
  return flow;
}

std::vector<float> accumulate(const Flow& flow) {
  std::vector<float> cells(flow.receiver.size(), 1);
  for (auto it = flow.order.rbegin(); it != flow.order.rend(); ++it)
    if (flow.receiver[*it] >= 0) cells[flow.receiver[*it]] += cells[*it];
  return cells;
}

void wear_down(std::vector<float>& z, int cols, int rows, const std::vector<std::uint8_t>& outlet,
               const Wear& wear, std::uint64_t seed) {
  // Below the usual 0.4 to 0.5: hills of long even slopes rather than steep sides over flat floors.
  constexpr double kAreaPower = 0.24;
  const double cell_area_m2 = wear.cell_m * wear.cell_m;
  for (int round = 0; round < wear.rounds; ++round) {
    for (int row = 1; row < rows - 1; ++row)
      for (int col = 1; col < cols - 1; ++col) {
        const int i = row * cols + col;
        if (outlet[i]) continue;
        z[i] += wear.jitter_m *
                static_cast<float>(lattice_uniform(seed + static_cast<std::uint64_t>(round), i, 0) - 0.5);
        if (!wear.lift_m.empty()) z[i] += wear.lift_m[i];
      }
    const Flow flow = fill_and_route(z, cols, rows, outlet);
    const std::vector<float> cells = accumulate(flow);
    for (int i : flow.order) {
      const int below = flow.receiver[i];
      if (below < 0) continue;
      const bool diagonal = i % cols != below % cols && i / cols != below / cols;
      const double step_m = wear.cell_m * (diagonal ? kDiagonal : 1.0f);
      const double f = wear.strength * std::pow(cells[i] * cell_area_m2, kAreaPower) / step_m;
      const double lowered = (z[i] + f * z[below]) / (1 + f);
      z[i] = static_cast<float>(std::min(lowered, z[below] + wear.steepest * step_m));
    }
    const std::vector<float> before = z;
    for (int row = 1; row < rows - 1; ++row)
      for (int col = 1; col < cols - 1; ++col) {
        const int i = row * cols + col;
        if (outlet[i]) continue;
        z[i] += wear.creep *
                ((before[i - 1] + before[i + 1] + before[i - cols] + before[i + cols]) / 4 - before[i]);
      }
  }
}

}  // namespace stumpwise::demo
