#include "travel_graph.h"

#include <array>
#include <utility>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/parallel.h"

namespace stumpwise::walk {
namespace {

/// One of each pair of opposite directions among 16 neighbours.
constexpr std::array<std::pair<int, int>, 8> kHalfRing{
    {{1, 0}, {0, 1}, {1, 1}, {-1, 1}, {2, 1}, {1, 2}, {-1, 2}, {-2, 1}}};

}  // namespace

TravelGraph::TravelGraph(std::shared_ptr<const Land> land, int threads, std::size_t most_blocks)
    : land_(std::move(land)) {
  const raster::Georef& g = land_->georef();
  const auto blocks = [&](int cells) { return (cells + factor_ - 1) / factor_; };
  while (static_cast<std::size_t>(blocks(g.cols)) * static_cast<std::size_t>(blocks(g.rows)) > most_blocks)
    ++factor_;
  block_cols_ = blocks(g.cols);
  block_rows_ = blocks(g.rows);
  make_nodes();
  make_edges(threads);
}

template <class Cell>
void TravelGraph::for_cells(int bc, int br, Cell&& cell) const {
  const raster::Georef& g = land_->georef();
  const int end_col = std::min(g.cols, (bc + 1) * factor_), end_row = std::min(g.rows, (br + 1) * factor_);
  for (int row = br * factor_; row < end_row; ++row)
    for (int col = bc * factor_; col < end_col; ++col) cell(col, row);
}

bool TravelGraph::whole_block(int bc, int br) const {
  const raster::Georef& g = land_->georef();
  const int ring = factor_ == 1 ? 0 : 1;  // single cells see their neighbours anyway
  const int end_col = std::min(g.cols, (bc + 1) * factor_ + ring),
            end_row = std::min(g.rows, (br + 1) * factor_ + ring);
  for (int row = std::max(0, br * factor_ - ring); row < end_row; ++row)
    for (int col = std::max(0, bc * factor_ - ring); col < end_col; ++col)
      if (!land_->open(col, row)) return false;
  return true;
}

void TravelGraph::make_nodes() {
  const raster::Georef& g = land_->georef();
  node_of_block_.assign(static_cast<std::size_t>(block_cols_) * block_rows_, -1);
  node_of_cell_.assign(g.size(), -1);
  const auto add = [&](int col, int row) {
    cell_of_node_.push_back(static_cast<std::uint32_t>(g.index(col, row)));
    return static_cast<std::int32_t>(cell_of_node_.size() - 1);
  };
  for (int br = 0; br < block_rows_; ++br)
    for (int bc = 0; bc < block_cols_; ++bc) {
      if (whole_block(bc, br)) {
        node_of_block_[static_cast<std::size_t>(br) * block_cols_ + bc] =
            add(std::min(g.cols - 1, bc * factor_ + factor_ / 2),
                std::min(g.rows - 1, br * factor_ + factor_ / 2));
        continue;
      }
      for_cells(bc, br, [&](int col, int row) {
        if (land_->open(col, row)) node_of_cell_[g.index(col, row)] = add(col, row);
      });
    }
}

earth::PlanePoint TravelGraph::place(std::int32_t node) const {
  const int cols = land_->georef().cols;
  const auto cell = static_cast<int>(cell_of_node_[node]);
  return land_->centre(cell % cols, cell / cols);
}

void TravelGraph::join(std::int32_t a, std::int32_t b, std::vector<HalfEdge>& into) const {
  const earth::PlanePoint from = place(a), to = place(b);
  if (!land_->clear(from, to)) return;
  const Land::Minutes minutes = land_->minutes(from, to);
  // Rounded up a little, so that the published minutes of a line never exceed those that the planner reckoned
  // with.
  const auto up = [](double value) { return static_cast<float>(value * (1 + 2e-7)); };
  if (minutes.there <= kLongestWay_min || minutes.back <= kLongestWay_min)
    into.push_back({a, b, up(minutes.there), up(minutes.back)});
}

void TravelGraph::edges_of_block(int bc, int br, std::vector<HalfEdge>& into) const {
  const raster::Georef& g = land_->georef();
  const auto node_of = [&](int c, int r) {
    return node_of_block_[static_cast<std::size_t>(r) * block_cols_ + c];
  };
  const std::int32_t own = node_of(bc, br);
  if (own < 0) {
    for_cells(bc, br, [&](int col, int row) {
      const std::int32_t node = node_of_cell_[g.index(col, row)];
      if (node < 0) return;
      for (const auto& [dc, dr] : kHalfRing) {
        if (!g.inside(col + dc, row + dr)) continue;
        const std::int32_t other = node_of_cell_[g.index(col + dc, row + dr)];
        if (other >= 0) join(node, other, into);
      }
    });
    return;
  }
  for (const auto& [dc, dr] : kHalfRing)
    if (has_block(bc + dc, br + dr) && node_of(bc + dc, br + dr) >= 0)
      join(own, node_of(bc + dc, br + dr), into);
  for (int r = br - 1; r <= br + 1; ++r)
    for (int c = bc - 1; c <= bc + 1; ++c) {
      if (!has_block(c, r) || node_of(c, r) >= 0) continue;
      for_cells(c, r, [&](int col, int row) {
        const std::int32_t other = node_of_cell_[g.index(col, row)];
        if (other >= 0) join(own, other, into);
      });
    }
}

void TravelGraph::make_edges(int threads) {
  std::vector<std::vector<HalfEdge>> by_row(static_cast<std::size_t>(block_rows_));
  base::parallel_ranges(by_row.size(), threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t row = begin; row < end; ++row) {
      base::check_interrupt();
      by_row[row].reserve(static_cast<std::size_t>(block_cols_) * kHalfRing.size());
      for (int bc = 0; bc < block_cols_; ++bc) edges_of_block(bc, static_cast<int>(row), by_row[row]);
    }
  });
  first_edge_.assign(nodes() + 1, 0);
  float least_min = 1;
  for (const auto& row : by_row)
    for (const HalfEdge& edge : row) {
      ++first_edge_[edge.a + 1];
      ++first_edge_[edge.b + 1];
      least_min = std::min({least_min, edge.there_min, edge.back_min});
    }
  for (std::size_t i = 1; i < first_edge_.size(); ++i) first_edge_[i] += first_edge_[i - 1];
  edges_.resize(first_edge_.back());
  back_min_.resize(edges_.size());
  std::vector<std::uint32_t> next(first_edge_.begin(), first_edge_.end() - 1);
  for (auto& row : by_row) {
    for (const HalfEdge& edge : row) {
      back_min_[next[edge.a]] = edge.back_min;
      edges_[next[edge.a]++] = {edge.b, edge.there_min};
      back_min_[next[edge.b]] = edge.there_min;
      edges_[next[edge.b]++] = {edge.a, edge.back_min};
    }
    std::vector<HalfEdge>().swap(row);
  }
  bucket_min_ = std::max(0.02, static_cast<double>(least_min));
}

std::vector<TravelGraph::Link> TravelGraph::links(const earth::PlanePoint& point) const {
  std::vector<Link> found;
  if (!land_->open(point)) return found;
  const raster::Georef& g = land_->georef();
  const auto try_node = [&](std::int32_t node) {
    const earth::PlanePoint at = place(node);
    if (!land_->clear(point, at)) return;
    const Land::Minutes minutes = land_->minutes(point, at);
    found.push_back({node, minutes.there * (1 + 2e-7), minutes.back * (1 + 2e-7)});
  };
  const int own_bc = g.col_of(point.x_m) / factor_, own_br = g.row_of(point.y_m) / factor_;
  for (int br = own_br - 1; br <= own_br + 1; ++br)
    for (int bc = own_bc - 1; bc <= own_bc + 1; ++bc) {
      if (!has_block(bc, br)) continue;
      const std::int32_t whole = node_of_block_[static_cast<std::size_t>(br) * block_cols_ + bc];
      if (whole >= 0) {
        try_node(whole);
        continue;
      }
      for_cells(bc, br, [&](int col, int row) {
        const std::int32_t node = node_of_cell_[g.index(col, row)];
        if (node >= 0) try_node(node);
      });
    }
  return found;
}

TravelGraph::Reach TravelGraph::search(const std::vector<Link>& from, bool towards, double most_min,
                                       const std::vector<Link>& wanted) const {
  // Dijkstra with buckets as wide as the shortest edge (Dial 1969, Denardo & Fox 1979): inside one bucket
  // nothing can be improved through another node of it, so the order in it does not matter. Should an edge be
  // shorter than the floor of the width, a node is simply taken again.
  Reach reach{towards, std::vector<float>(nodes(), std::numeric_limits<float>::infinity()),
              std::vector<std::int32_t>(nodes(), -1)};
  std::vector<std::uint8_t> is_wanted(wanted.empty() ? 0 : nodes(), 0),
      settled(wanted.empty() ? 0 : nodes(), 0);
  std::size_t missing = 0;
  for (const Link& link : wanted)
    if (!std::exchange(is_wanted[link.node], std::uint8_t{1})) ++missing;

  using Item = std::pair<float, std::int32_t>;
  std::vector<std::vector<Item>> buckets;
  const auto per_bucket = static_cast<float>(1 / bucket_min_), bound = static_cast<float>(most_min);
  float* const best_min = reach.minutes.data();
  const auto push = [&](float minutes, std::int32_t node, std::int32_t before) {
    if (!(minutes < best_min[node]) || minutes > bound) return;
    best_min[node] = minutes;
    reach.before[node] = before;
    const auto bucket = static_cast<std::size_t>(minutes * per_bucket);
    if (bucket >= buckets.size()) buckets.resize(std::max(bucket + 1, 2 * buckets.size()));
    buckets[bucket].push_back({minutes, node});
  };
  for (const Link& link : from)
    push(static_cast<float>((towards ? link.from_node_min : link.to_node_min) * (1 + 1e-7)), link.node, -1);
  std::vector<Item> now;
  for (std::size_t bucket = 0; bucket < buckets.size(); ++bucket) {
    while (!buckets[bucket].empty()) {  // an edge shorter than the width may fill it again
      now.clear();
      now.swap(buckets[bucket]);
      for (const auto& [minutes, node] : now) {
        if (minutes > best_min[node]) continue;
        if (missing > 0 && is_wanted[node] && !std::exchange(settled[node], std::uint8_t{1})) --missing;
        const std::uint32_t end = first_edge_[node + 1];
        if (towards) {
          for (std::uint32_t e = first_edge_[node]; e < end; ++e)
            push(minutes + back_min_[e], edges_[e].to, node);
        } else {
          for (std::uint32_t e = first_edge_[node]; e < end; ++e)
            push(minutes + edges_[e].minutes, edges_[e].to, node);
        }
      }
    }
    if (!wanted.empty() && missing == 0) break;
  }
  return reach;
}

const TravelGraph::Link* TravelGraph::best(const Reach& reach, const std::vector<Link>& links) const {
  const Link* found = nullptr;
  double least_min = kNever_min;
  for (const Link& link : links) {
    const double minutes = reach.minutes[link.node] + (reach.towards ? link.to_node_min : link.from_node_min);
    if (minutes < least_min) {
      least_min = minutes;
      found = &link;
    }
  }
  return found;
}

double TravelGraph::minutes(const Reach& reach, const std::vector<Link>& links) const {
  const Link* link = best(reach, links);
  if (!link) return kNever_min;
  return (reach.minutes[link->node] + (reach.towards ? link->to_node_min : link->from_node_min)) * (1 + 1e-6);
}

std::vector<earth::PlanePoint> TravelGraph::line(const Reach& reach, const earth::PlanePoint& place_of_reach,
                                                 const std::vector<Link>& links,
                                                 const earth::PlanePoint& point) const {
  const Link* link = best(reach, links);
  if (!link) return {};
  std::vector<earth::PlanePoint> found{point};
  for (std::int32_t node = link->node; node >= 0; node = reach.before[node]) {
    const earth::PlanePoint at = place(node);
    if (!(at == found.back())) found.push_back(at);
  }
  if (!(place_of_reach == found.back()) || found.size() == 1) found.push_back(place_of_reach);
  if (!reach.towards) std::reverse(found.begin(), found.end());
  return found;
}

}  // namespace stumpwise::walk
