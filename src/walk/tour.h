#pragma once
#include <optional>
#include <vector>

#include "allocation.h"

namespace stumpwise::walk {

/// A patch as the tour sees it.
struct Site {
  double finds = 0;
  SearchLaw law;
  double go_min = 0, back_min = 0;  ///< from the start, to the end
  bool usable = false, must = false;
};

/// Which sites, in which order, for how long.
struct TourProblem {
  std::vector<Site> sites;
  std::vector<double> between_min;  ///< [from * sites + to]
  double budget_min = 0, daylight_min = 0, return_factor = 1;
  /// The tour shares less than half of its stops, and of theirs, with each of these.
  std::vector<std::vector<int>> apart_from;

  double way_min(int from, int to) const {
    return between_min[static_cast<std::size_t>(from) * sites.size() + to];
  }
};

struct Tour {
  std::vector<int> order;
  std::vector<double> search_min;
  double finds = 0;  ///< expected to be found
  double worth =
      -1;  ///< finds less a hair for each minute on the way, so that of equal tours the shorter wins
  bool possible() const { return worth >= 0; }
};

/// Reckons tours; keeps its working space. Counts how often it was asked.
class TourClock {
 public:
  explicit TourClock(const TourProblem& problem);
  /// Worth of an order with its best search minutes; negative where it cannot be walked. An empty order is
  /// worth 0.
  double worth(const std::vector<int>& order);
  Tour tour(std::vector<int> order);
  long asked() const { return asked_; }
  const TourProblem& problem() const { return *problem_; }

 private:
  bool too_alike(const std::vector<int>& order) const;

  const TourProblem* problem_;
  std::vector<SearchLaw> laws_;
  std::vector<double> limits_min_, search_min_;
  double hair_ = 0, finds_ = 0;
  long asked_ = 0;
};

/// Best tour found from `from` (may be empty) by construction, local search (insert, drop, swap, reverse,
/// move a chain) and kicks, until `most_asked` orders were tried. Deterministic. Musts are kept; nothing
/// where they cannot all be visited.
std::optional<Tour> best_tour(const TourProblem& problem, std::vector<int> from, long most_asked);

/// Order of all musts that takes least time with the least search in each (exact to seven, improved above);
/// empty where one cannot be reached.
std::vector<int> order_of_musts(const TourProblem& problem);

/// Least budget, with 5 minutes' search in each place, that visits all musts, or any usable site where there
/// is no must. Where daylight lets such a walk be, the walk's own minutes; else the least time between
/// leaving and the deadline, with the return factor. Nothing where no site can be reached.
std::optional<double> shortest_tour_min(const TourProblem& problem);

}  // namespace stumpwise::walk
