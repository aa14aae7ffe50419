#pragma once
#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::walk {

/// Koopman's law (1946, OEG Report 56; 1980, Search and Screening): expected finds of N spread over A square
/// metres after L metres of random search with sweep width W: N (1 - exp(-W L / A)). N, W, L >= 0, A > 0,
/// else Error(bad_value).
double expected_finds(double n, double sweep_width_m, double length_m, double area_m2);
/// 1 - exp(-C), C = W L / A >= 0 the coverage.
double probability_of_detection(double coverage);
/// Finds per metre still to come after coverage C with n found; patch contents gamma with shape r and mean N:
/// (r + n) / (r / N + 1 - exp(-C)) exp(-C) W / A. 0 where N is 0.
double rate_to_come(double n_mean, double r, double coverage, int found, double sweep_width_m,
                    double area_m2);
/// The rule for leaving a patch (marginal value, Charnov 1976, Theor. Popul. Biol. 9:129): minutes of search
/// after which, with `found` finds, the rate to come, in finds a minute, falls below the average of the whole
/// walk (its ways included). `search_per_min` = W v / A. 0 where it is below from the first minute.
double leave_after_min(double n_mean, double r, int found, double search_per_min, double average_per_min);

/// A stop with less search than this is none.
inline constexpr double kLeastSearch_min = 5;
/// No patch is searched beyond this coverage: 95 % of what stands there is then expected to be found.
inline constexpr double kMostCoverage = 3;

/// A piece of land worth searching: what the planner sees of a prospect map.
struct Patch {
  int id = 0;                ///< stable for a ground and a request, from 1
  earth::PlanePoint centre;  ///< inside the patch, walkable
  double area_m2 = 0;
  double expected = 0;             ///< N: finds standing in it (weighted sum over the species asked for)
  double low90 = 0, high90 = 0;    ///< of N; find_patches knows no interval and sets both to `expected`
  std::vector<std::size_t> cells;  ///< of the ground's grid, rising
};

/// From where a ground is searched: rich patches far away then count for less, by the share of the budget
/// that is left after the straight way there and on to the end at 50 m a minute.
struct PatchReach {
  earth::PlanePoint start, end;
  double budget_min = 0;
};

/// Compact patches of high prospect, none overlapping: squares of `side_m` at most, taken greedily where the
/// effort that sweeps one such square once finds most. Walls, nodata and cells without a way between them
/// inside the square are left out; so are slivers below a quarter of a square. The `most` best, best first;
/// none where nothing is expected. Without `reach` all may lie in one rich corner that cannot be walked to in
/// time: give it.
std::vector<Patch> find_patches(const raster::Grid& finds_per_ha, const raster::Grid* wall, double side_m,
                                int most, const PatchReach* reach = nullptr);

struct WalkRequest {
  earth::PlanePoint start;
  std::optional<earth::PlanePoint> end;  ///< a loop where there is none
  double budget_min = 0;                 ///< from leaving to the end
  double daylight_min = 0;               ///< from leaving to sunset less the buffer
  double return_factor = 1.25;
  double sweep_width_m = 6, search_speed_m_per_min = 15, shape_r = 1;
  std::vector<int> must, never;  ///< patch ids
  int alternatives = 0;
};
/// `from` and `to` are places in Walk::stops; -1: start or end.
struct Leg {
  int from = -1, to = -1;
  std::vector<earth::PlanePoint> line;
  double minutes = 0, length_m = 0, climb_m = 0;  ///< of the line: walk_minutes(line) and so on
};
struct Stop {
  int patch = 0;
  earth::PlanePoint place;
  double arrive_min = 0, search_min = 0, leave_min = 0;  ///< arrive and leave: after the start
  double return_min = 0;                                 ///< walking straight to the end from here
  std::vector<earth::PlanePoint> return_line;
  double turn_back_min = 0;  ///< daylight_min - return_factor * return_min; never before leave_min
  double expected = 0, low90 = 0, high90 = 0;  ///< to be found in search_min
  std::vector<double> leave_after_min;         ///< with 0, 1, 2 finds; never beyond the turn-back time
};
/// The interval is the sum of the stops' lows and highs through the same law: the patches' errors are taken
/// as one, as they share the weather and the map; wider than if they were independent.
struct Walk {
  std::vector<Leg> legs;
  std::vector<Stop> stops;
  double total_min = 0, expected = 0, low90 = 0, high90 = 0;
};
struct WalkResult {
  /// Best first, then the alternatives: each shares less than half of its stops, and of theirs, with all
  /// before it. Fewer than asked for where no other walk finds anything.
  std::vector<Walk> walks;
  /// Where nothing fits: the least budget (rounded up to a tenth of a minute) that reaches a patch, searches
  /// it for 5 minutes and comes back; all patches of `must` where there are any. Where the daylight is what
  /// lacks, the least time between leaving and the deadline instead, so that leaving so long before it works.
  /// Nothing where none can be reached.
  std::optional<double> shortest_min;
};

/// Orienteering with service times: which patches, in which order, for how long, so that the expected finds
/// are most within the budget, every stop is left by its own turn-back time, and the walk ends by then.
/// Minutes of search are divided by equal marginal return. Deterministic, whatever the number of threads.
class Planner {
 public:
  /// Travel times between the start, the end and all patches (the part that does not change from day to day).
  /// Ways between patches are known as far as this request's budget and daylight carry, among its musts
  /// however long. Throws Error(bad_value) where start or end lies outside the ground or on closed land, or
  /// where a must is no patch. The ground's grids must outlive the planner.
  Planner(const TravelGround& ground, const WalkRequest& request, std::vector<Patch> patches, int threads,
          const base::Progress& progress = {});
  ~Planner();
  /// With the patches' expectations replaced (same order): another day, another mix of species. Start and end
  /// must be those of the constructor. Error(bad_value) for ids that are no patch's, or both in must and
  /// never.
  WalkResult solve(const std::vector<double>& expected, const std::vector<double>& low90,
                   const std::vector<double>& high90, const WalkRequest& request) const;
  WalkResult solve(const WalkRequest& request) const;
  const std::vector<Patch>& patches() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stumpwise::walk
