#pragma once
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::walk {

/// Koopman's law: expected finds of N spread over A square metres after L metres with sweep width W: N (1 - exp(-W L / A)).
double expected_finds(double n, double sweep_width_m, double length_m, double area_m2);
double probability_of_detection(double coverage);
/// Finds per metre still to come after coverage C with n found; patch contents gamma with shape r and mean N:
/// (r + n) / (r / N + 1 - exp(-C)) exp(-C) W / A.
double rate_to_come(double n_mean, double r, double coverage, int found, double sweep_width_m, double area_m2);

/// A piece of land worth searching: what the planner sees of a prospect map.
struct Patch {
  int id = 0;                      ///< stable for a ground and a request
  earth::PlanePoint centre;        ///< inside the patch, walkable
  double area_m2 = 0;
  double expected = 0;             ///< N: finds standing in it (weighted sum over the species asked for)
  double low90 = 0, high90 = 0;
  std::vector<std::size_t> cells;  ///< of the ground's grid
};

/// Compact patches of high prospect: cells gathered greedily around local maxima of the smoothed map, each `side_m` across
/// at most, walls left out; the `most` with the highest expected finds per search minute.
std::vector<Patch> find_patches(const raster::Grid& finds_per_ha, const raster::Grid* wall, double side_m, int most);

struct WalkRequest {
  earth::PlanePoint start;
  std::optional<earth::PlanePoint> end;    ///< a loop where there is none
  double budget_min = 0;                   ///< from leaving to the end
  double daylight_min = 0;                 ///< from leaving to sunset less the buffer
  double return_factor = 1.25;
  double sweep_width_m = 6, search_speed_m_per_min = 15, shape_r = 1;
  std::vector<int> must, never;            ///< patch ids
  int alternatives = 0;
};
struct Leg { int from = -1, to = -1; std::vector<earth::PlanePoint> line; double minutes = 0, length_m = 0, climb_m = 0; };  ///< -1: start or end
struct Stop {
  int patch = 0;
  earth::PlanePoint place;
  double arrive_min = 0, search_min = 0, leave_min = 0;  ///< after the start
  double return_min = 0;                                 ///< walking straight to the end from here
  std::vector<earth::PlanePoint> return_line;
  double turn_back_min = 0;                              ///< daylight_min - return_factor * return_min
  double expected = 0, low90 = 0, high90 = 0;
  std::vector<double> leave_after_min;                   ///< with 0, 1, 2 finds
};
struct Walk { std::vector<Leg> legs; std::vector<Stop> stops; double total_min = 0, expected = 0, low90 = 0, high90 = 0; };
struct WalkResult {
  std::vector<Walk> walks;              ///< best first, then the alternatives
  std::optional<double> shortest_min;   ///< where nothing fits: the least budget that reaches a patch and comes back
};

/// Orienteering with service times: which patches, in which order, for how long, so that the expected finds are most within
/// the budget, every stop is left by its own turn-back time, and the walk ends by then. Deterministic.
class Planner {
 public:
  /// Travel times between the start, the end and all patches (the part that does not change from day to day).
  Planner(const TravelGround& ground, const WalkRequest& request, std::vector<Patch> patches, int threads, const base::Progress& progress = {});
  ~Planner();
  /// With the patches' expectations replaced (same order): another day, another mix of species.
  WalkResult solve(const std::vector<double>& expected, const std::vector<double>& low90, const std::vector<double>& high90, const WalkRequest& request) const;
  WalkResult solve(const WalkRequest& request) const;
  const std::vector<Patch>& patches() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stumpwise::walk
