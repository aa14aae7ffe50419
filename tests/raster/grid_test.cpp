#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

#include "helpers.h"
#include "stumpwise/raster/vector.h"

namespace stumpwise::raster {
namespace {

using namespace testing_help;

TEST(Grid, FindsTheCellThatHoldsAPlace) {
  const Georef g = small(4, 3);
  EXPECT_EQ(g.col_of(500000), 0);
  EXPECT_EQ(g.row_of(5'000'029.9), 0);
  EXPECT_TRUE(g.contains(500039.9, 5'000'000.1));
  EXPECT_FALSE(g.contains(500040.1, 5'000'010));
  for (int col = 0; col < 4; ++col) EXPECT_EQ(g.col_of(g.x_of(col)), col);
}

TEST(Grid, GivesNoValueOutsideOrOnAHole) {
  Grid grid = plane_grid(small(4, 3));
  EXPECT_TRUE(grid.value(500005, 5'000'005));
  EXPECT_FALSE(grid.value(499999, 5'000'005));
  grid.at(0, 2) = std::nanf("");
  EXPECT_FALSE(grid.value(500005, 5'000'005));
  EXPECT_FALSE(grid.bilinear(500009, 5'000'009));
}

RC_GTEST_PROP(Grid, BilinearIsExactOnAPlane, ()) {
  const Georef g = small(12, 9);
  const Grid grid = plane_grid(g);
  const double x = 500005 + *rc::gen::inRange(0, 110000) / 1000.0,
               y = 5'000'005 + *rc::gen::inRange(0, 80000) / 1000.0;
  const double expected = 100 + 0.3 * (x - 500000) + 0.1 * (5'010'000 - y);
  RC_ASSERT(std::abs(grid.bilinear(x, y).value() - expected) < 1e-3);
}

TEST(Grid, EveryQuantityHasANameOfItsOwn) {
  std::set<std::string> names;
  for (int i = 0; i <= static_cast<int>(Quantity::other); ++i)
    names.insert(quantity_name(static_cast<Quantity>(i)));
  EXPECT_EQ(names.size(), static_cast<std::size_t>(Quantity::other) + 1);
}

TEST(Grid, GridsOnOtherCellsAreNotCombined) {
  EXPECT_THROW(require_same(small(4, 3), small(4, 4)), Error);
}

Grid drawn(const std::vector<std::string>& rows) {
  Grid grid(small(static_cast<int>(rows.front().size()), static_cast<int>(rows.size()), 1), Quantity::flag,
            0);
  for (std::size_t r = 0; r < rows.size(); ++r)
    for (std::size_t c = 0; c < rows[r].size(); ++c)
      if (rows[r][c] == '#') grid.at(static_cast<int>(c), static_cast<int>(r)) = 1;
  return grid;
}
std::vector<std::string> text(const Grid& grid) {
  std::vector<std::string> rows;
  for (int r = 0; r < grid.georef.rows; ++r) {
    rows.emplace_back();
    for (int c = 0; c < grid.georef.cols; ++c) rows.back() += grid.at(c, r) != 0 ? '#' : '.';
  }
  return rows;
}
/// Columns and rows of cell borders, from the north-west corner, to the plane.
earth::PlanePoint at(const Georef& g, double u, double v) {
  return {g.left_m + u * g.cell_m, g.top_m - v * g.cell_m};
}

TEST(Rasterise, PolygonCoversCellsWhoseCentreIsInsideAndNotItsHole) {
  const Georef g = small(7, 6);
  auto ring = [&](double l, double t, double r, double b) {
    return std::vector<earth::PlanePoint>{at(g, l, t), at(g, r, t), at(g, r, b), at(g, l, b), at(g, l, t)};
  };
  const Shape shape{ShapeKind::polygon, {ring(0.6, 0.4, 6.4, 5.6), ring(2, 2, 4, 4)}, {}};
  EXPECT_EQ(text(rasterise({shape}, g)),
            (std::vector<std::string>{".#####.", ".#####.", ".#..##.", ".#..##.", ".#####.", ".#####."}));
}

TEST(Rasterise, LineLeavesNoDiagonalGap) {
  const Georef g = small(5, 5);
  const Shape diagonal{ShapeKind::line, {{at(g, 0.5, 0.5), at(g, 4.5, 4.5)}}, {}};
  const auto rows = text(rasterise({diagonal}, g));
  int cells = 0;
  for (const auto& row : rows) cells += static_cast<int>(std::count(row.begin(), row.end(), '#'));
  EXPECT_EQ(cells, 9);  // 5 on the diagonal, one beside each of the 4 corners
}

RC_GTEST_PROP(Rasterise, LinesAreConnectedSideBySide, ()) {
  const Georef g = small(20, 15);
  auto coordinate = [](int most) { return *rc::gen::inRange(0, most * 1000) / 1000.0; };
  const auto a = at(g, coordinate(20), coordinate(15)), b = at(g, coordinate(20), coordinate(15));
  const Grid marked = rasterise({{ShapeKind::line, {{a, b}}, {}}}, g);
  // A walk over side neighbours from the first cell reaches every marked cell.
  std::set<std::pair<int, int>> open{{std::min(19, g.col_of(a.x_m)), std::min(14, g.row_of(a.y_m))}}, seen;
  while (!open.empty()) {
    const auto [c, r] = *open.begin();
    open.erase(open.begin());
    if (!g.inside(c, r) || marked.at(c, r) == 0 || !seen.insert({c, r}).second) continue;
    for (const auto& next : {std::pair{c + 1, r}, {c - 1, r}, {c, r + 1}, {c, r - 1}}) open.insert(next);
  }
  RC_ASSERT(static_cast<long>(seen.size()) == std::count(marked.values.begin(), marked.values.end(), 1.0f));
  RC_ASSERT(seen.count({g.col_of(b.x_m), g.row_of(b.y_m)}) == 1);
}

TEST(Rasterise, LineFromFarAwayIsCutToTheGrid) {
  const Georef g = small(5, 5);
  const Shape far{ShapeKind::line, {{at(g, -4e9, 2.5), at(g, 4e9, 2.5)}}, {}};
  EXPECT_EQ(text(rasterise({far}, g)),
            (std::vector<std::string>{".....", ".....", "#####", ".....", "....."}));
}

RC_GTEST_PROP(Rasterise, AgreesWithTheTestForInside, ()) {
  const Georef g = small(12, 12);
  std::vector<earth::PlanePoint> ring;
  for (int i = 0; i < 6; ++i)
    ring.push_back(at(g, *rc::gen::inRange(-2000, 14000) / 1000.0, *rc::gen::inRange(-2000, 14000) / 1000.0));
  ring.push_back(ring.front());
  const Shape shape{ShapeKind::polygon, {ring}, {}};
  const Grid marked = rasterise({shape}, g);
  for (int r = 0; r < g.rows; ++r)
    for (int c = 0; c < g.cols; ++c) {
      // A centre within a millimetre of a border may fall on either side.
      const bool certain =
          inside(shape, g.x_of(c) - 1e-3, g.y_of(r)) == inside(shape, g.x_of(c) + 1e-3, g.y_of(r));
      if (certain) RC_ASSERT((marked.at(c, r) != 0) == inside(shape, g.x_of(c), g.y_of(r)));
    }
}

TEST(Distance, IsNowhereWhereNothingIsMarked) {
  for (const float d : distance_to(drawn({"...", "..."})).values) EXPECT_TRUE(std::isnan(d));
}

RC_GTEST_PROP(Distance, IsThatOfASearchOverAllCells, ()) {
  const int cols = *rc::gen::inRange(1, 14), rows = *rc::gen::inRange(1, 14);
  Grid marked(small(cols, rows, 10), Quantity::flag, 0);
  for (float& v : marked.values) v = *rc::gen::inRange(0, 8) == 0 ? 1 : 0;
  const Grid distance = distance_to(marked);
  for (int r = 0; r < rows; ++r)
    for (int c = 0; c < cols; ++c) {
      double best = INFINITY;
      for (int rr = 0; rr < rows; ++rr)
        for (int cc = 0; cc < cols; ++cc)
          if (marked.at(cc, rr) != 0) best = std::min(best, 10 * std::hypot(c - cc, r - rr));
      if (std::isinf(best))
        RC_ASSERT(std::isnan(distance.at(c, r)));
      else
        RC_ASSERT(std::abs(distance.at(c, r) - best) < 1e-3);
    }
}

}  // namespace
}  // namespace stumpwise::raster
