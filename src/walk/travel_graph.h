#pragma once
#include <cstdint>
#include <limits>
#include <memory>
#include <vector>

#include "land.h"

namespace stumpwise::walk {

inline constexpr double kNever_min = std::numeric_limits<double>::infinity();

/// Nodes and edges over the land. The land is cut into square blocks of `factor` cells. A block without any
/// closed cell in it or right around it is one node (at its middle cell); in another block every open cell is
/// a node. As the ring around a whole block is open, its node sees every cell of that ring: no passage is
/// lost, however narrow. Edges: 16 neighbours among whole blocks and among single cells, and every whole
/// block with the single cells of the eight blocks around it.
class TravelGraph {
 public:
  /// As many blocks as stay below this: a ground of a million 10 m cells is taken in blocks of 30 m.
  static constexpr std::size_t kMostBlocks = 150'000;
  TravelGraph(std::shared_ptr<const Land> land, int threads, std::size_t most_blocks = kMostBlocks);

  const Land& land() const { return *land_; }
  std::size_t nodes() const { return cell_of_node_.size(); }
  std::size_t edges() const { return edges_.size(); }
  earth::PlanePoint place(std::int32_t node) const;

  /// A way on a straight line from any place to a node nearby.
  struct Link {
    std::int32_t node = 0;
    double to_node_min = 0, from_node_min = 0;
  };
  std::vector<Link> links(const earth::PlanePoint& point) const;

  /// Least minutes from (or towards) a place to every node, and the node before each on the way; -1 where the
  /// place itself is before it.
  struct Reach {
    bool towards = false;
    std::vector<float> minutes;
    std::vector<std::int32_t> before;
  };
  /// Stops beyond `most_min`, or when the nodes of all `wanted` links are settled (empty: none is wanted, all
  /// are).
  Reach search(const std::vector<Link>& from, bool towards, double most_min,
               const std::vector<Link>& wanted = {}) const;

  double minutes(const Reach& reach, const std::vector<Link>& links) const;
  /// In walking order; empty where it is not reached.
  std::vector<earth::PlanePoint> line(const Reach& reach, const earth::PlanePoint& place,
                                      const std::vector<Link>& links, const earth::PlanePoint& point) const;

 private:
  struct Edge {
    std::int32_t to;
    float minutes;
  };
  struct HalfEdge {
    std::int32_t a, b;
    float there_min, back_min;
  };
  void make_nodes();
  void make_edges(int threads);
  void edges_of_block(int bc, int br, std::vector<HalfEdge>& into) const;
  void join(std::int32_t a, std::int32_t b, std::vector<HalfEdge>& into) const;
  bool whole_block(int bc, int br) const;
  bool has_block(int bc, int br) const { return bc >= 0 && br >= 0 && bc < block_cols_ && br < block_rows_; }
  const Link* best(const Reach& reach, const std::vector<Link>& links) const;
  /// Calls cell(col, row) for the cells of a block that lie on the ground.
  template <class Cell>
  void for_cells(int bc, int br, Cell&& cell) const;

  std::shared_ptr<const Land> land_;
  int factor_ = 1, block_cols_ = 0, block_rows_ = 0;
  std::vector<std::int32_t> node_of_block_;  ///< -1: taken cell by cell
  std::vector<std::int32_t> node_of_cell_;   ///< of cells in such blocks; -1: closed or in a whole block
  std::vector<std::uint32_t> cell_of_node_;
  std::vector<std::uint32_t> first_edge_;
  std::vector<Edge> edges_;  ///< outward
  std::vector<float>
      back_min_;  ///< of the same edges, walked the other way; apart, as it is seldom asked for
  double bucket_min_ = 0.1;
};

}  // namespace stumpwise::walk
