#include "stumpwise/walk/route.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "stumpwise/base/error.h"
#include "tour.h"
#include "ways.h"

namespace stumpwise::walk {
namespace {

/// Orders tried in the first search, and in each one after ways were pulled straight; set so that a day takes
/// a few hundredths of a second.
constexpr long kFirstAsked = 120'000, kLaterAsked = 24'000;
constexpr int kMostRounds = 4;

void check(const WalkRequest& request) {
  const auto require = [](bool good, const char* what, double value, const char* range) {
    if (!good)
      throw Error(ErrorCode::bad_value, std::string(what) + " " + std::to_string(value) + ": " + range);
  };
  require(std::isfinite(request.budget_min), "budget", request.budget_min, "a number of minutes");
  require(std::isfinite(request.daylight_min), "daylight", request.daylight_min, "a number of minutes");
  require(request.return_factor >= 1, "return factor", request.return_factor, "at least 1");
  require(request.sweep_width_m > 0, "sweep width", request.sweep_width_m, "above 0 m");
  require(request.search_speed_m_per_min > 0, "search speed", request.search_speed_m_per_min,
          "above 0 m a minute");
  require(request.shape_r > 0, "shape", request.shape_r, "above 0");
  require(request.alternatives >= 0, "alternatives", request.alternatives, "at least 0");
}

}  // namespace

struct Planner::Impl {
  const raster::Grid* elevation_m;
  WalkRequest request;
  std::vector<Patch> patches;
  std::unique_ptr<Ways> ways;

  std::vector<std::uint8_t> marked(const std::vector<int>& ids) const;
  TourProblem problem(const std::vector<double>& expected, const WalkRequest& now) const;
  std::optional<Tour> settled_tour(TourProblem& problem, std::vector<int> from) const;
  std::optional<Tour> other_tour(TourProblem& problem) const;
  Leg leg(int from, int to, const Way& way) const;
  Walk walk(const Tour& tour, const TourProblem& problem, const std::vector<double>& low90,
            const std::vector<double>& high90, const WalkRequest& now) const;
};

namespace {

double search_per_min(const Patch& patch, const WalkRequest& request) {
  return request.sweep_width_m * request.search_speed_m_per_min / patch.area_m2;
}

}  // namespace

std::vector<std::uint8_t> Planner::Impl::marked(const std::vector<int>& ids) const {
  std::vector<std::uint8_t> marks(patches.size(), 0);
  for (int id : ids) {
    const auto found =
        std::find_if(patches.begin(), patches.end(), [&](const Patch& p) { return p.id == id; });
    if (found == patches.end())
      throw Error(
          ErrorCode::bad_value, "patch " + std::to_string(id) + " does not exist",
          "There are " + std::to_string(patches.size()) + " patches; their numbers are those of the plan.");
    marks[static_cast<std::size_t>(found - patches.begin())] = 1;
  }
  return marks;
}

TourProblem Planner::Impl::problem(const std::vector<double>& expected, const WalkRequest& now) const {
  const auto must = marked(now.must), never = marked(now.never);
  TourProblem problem;
  for (std::size_t i = 0; i < patches.size(); ++i) {
    if (must[i] && never[i])
      throw Error(ErrorCode::bad_value,
                  "patch " + std::to_string(patches[i].id) + " is asked for and ruled out at once");
    Site site;
    site.finds = std::isfinite(expected[i]) ? std::max(0.0, expected[i]) : 0;
    site.law.per_min = search_per_min(patches[i], now);
    site.law.log_rate =
        site.finds > 0 ? std::log(site.finds * site.law.per_min) : -std::numeric_limits<double>::infinity();
    site.law.least_min = kLeastSearch_min;
    site.law.most_min = std::max(kLeastSearch_min, kMostCoverage / site.law.per_min);
    site.go_min = ways->go(static_cast<int>(i)).minutes;
    site.back_min = ways->back(static_cast<int>(i)).minutes;
    site.must = must[i] != 0;
    site.usable = !never[i] && (site.must || site.finds > 0) && std::isfinite(site.go_min) &&
                  std::isfinite(site.back_min);
    problem.sites.push_back(site);
  }
  problem.between_min = ways->rough_minutes();
  problem.budget_min = now.budget_min;
  problem.daylight_min = now.daylight_min;
  problem.return_factor = now.return_factor;
  return problem;
}

/// Searches, pulls the ways that the tour uses straight and searches on with their true minutes, until a tour
/// stands on pulled ways alone. A pulled way is never longer than the rough one, so what fitted before still
/// fits.
std::optional<Tour> Planner::Impl::settled_tour(TourProblem& problem, std::vector<int> from) const {
  std::optional<Tour> tour = best_tour(problem, std::move(from), kFirstAsked);
  for (int round = 0; tour && !tour->order.empty(); ++round) {
    bool changed = false;
    for (std::size_t i = 1; i < tour->order.size(); ++i) {
      const int a = tour->order[i - 1], b = tour->order[i];
      double& minutes = problem.between_min[static_cast<std::size_t>(a) * problem.sites.size() + b];
      const double straight_min = ways->between(a, b).minutes;
      changed = changed || straight_min < minutes - 1e-3;
      minutes = std::min(minutes, straight_min);
    }
    if (!changed) break;
    // After enough rounds the order stays and only the minutes gained are given to the search.
    if (round + 1 < kMostRounds) {
      tour = best_tour(problem, tour->order, kLaterAsked);
    } else {
      tour = TourClock(problem).tour(tour->order);
      break;
    }
  }
  if (tour && (tour->order.empty() || !tour->possible())) return std::nullopt;
  return tour;
}

/// First a tour without any stop of the ones before (but for the musts), then the best that still differs
/// enough.
std::optional<Tour> Planner::Impl::other_tour(TourProblem& problem) const {
  TourProblem apart = problem;
  apart.apart_from.clear();
  for (const auto& order : problem.apart_from)
    for (int site : order) apart.sites[site].usable = apart.sites[site].must;
  const std::optional<Tour> first = best_tour(apart, {}, kLaterAsked);
  if (!first || first->order.empty() || TourClock(problem).worth(first->order) < 0) return std::nullopt;
  return settled_tour(problem, first->order);
}

Leg Planner::Impl::leg(int from, int to, const Way& way) const {
  return {from,
          to,
          way.line,
          walk_minutes(way.line, *elevation_m),
          line_length_m(way.line),
          climb_m(way.line, *elevation_m)};
}

Walk Planner::Impl::walk(const Tour& tour, const TourProblem& problem, const std::vector<double>& low90,
                         const std::vector<double>& high90, const WalkRequest& now) const {
  Walk walk;
  double at_min = 0;
  const int n = static_cast<int>(tour.order.size());
  for (int i = 0; i < n; ++i) {
    const int site = tour.order[i];
    const Patch& patch = patches[site];
    walk.legs.push_back(leg(i - 1, i, i == 0 ? ways->go(site) : ways->between(tour.order[i - 1], site)));
    Stop stop;
    stop.patch = patch.id;
    stop.place = patch.centre;
    stop.arrive_min = at_min + walk.legs.back().minutes;
    stop.search_min = tour.search_min[i];
    stop.leave_min = at_min = stop.arrive_min + stop.search_min;
    stop.return_line = ways->back(site).line;
    stop.return_min = walk_minutes(stop.return_line, *elevation_m);
    stop.turn_back_min = now.daylight_min - now.return_factor * stop.return_min;
    const double found = probability_of_detection(problem.sites[site].law.per_min * stop.search_min);
    stop.expected = problem.sites[site].finds * found;
    stop.low90 = low90[site] * found;
    stop.high90 = high90[site] * found;
    walk.expected += stop.expected;
    walk.low90 += stop.low90;
    walk.high90 += stop.high90;
    walk.stops.push_back(std::move(stop));
  }
  walk.legs.push_back(leg(n - 1, -1, ways->back(tour.order.back())));
  walk.total_min = at_min + walk.legs.back().minutes;
  if (walk.expected > 0)
    for (int i = 0; i < n; ++i) {
      Stop& stop = walk.stops[i];
      const Site& site = problem.sites[tour.order[i]];
      for (int found = 0; found <= 2; ++found)
        stop.leave_after_min.push_back(std::min(
            leave_after_min(site.finds, now.shape_r, found, site.law.per_min, walk.expected / walk.total_min),
            stop.turn_back_min - stop.arrive_min));
    }
  else
    for (Stop& stop : walk.stops) stop.leave_after_min.assign(3, 0.0);
  return walk;
}

Planner::Planner(const TravelGround& ground, const WalkRequest& request, std::vector<Patch> patches,
                 int threads, const base::Progress& progress)
    : impl_(std::make_unique<Impl>()) {
  check(request);
  impl_->elevation_m = ground.elevation_m;
  impl_->request = request;
  impl_->patches = std::move(patches);
  WaysTask task;
  task.start = request.start;
  task.end = request.end.value_or(request.start);
  task.most_min = std::min(request.budget_min, request.daylight_min);
  for (const Patch& patch : impl_->patches) {
    if (!(patch.area_m2 > 0))
      throw Error(ErrorCode::bad_value,
                  "patch " + std::to_string(patch.id) + " has no area: above 0 square metres");
    task.places.push_back(patch.centre);
  }
  task.must = impl_->marked(request.must);
  impl_->ways = std::make_unique<Ways>(ground, std::move(task), threads, progress);
}

Planner::~Planner() = default;

WalkResult Planner::solve(const std::vector<double>& expected, const std::vector<double>& low90,
                          const std::vector<double>& high90, const WalkRequest& request) const {
  check(request);
  const std::size_t n = impl_->patches.size();
  if (expected.size() != n || low90.size() != n || high90.size() != n)
    throw Error(ErrorCode::bad_value, "expectations of " + std::to_string(expected.size()) +
                                          " patches given: " + std::to_string(n) + " are needed");
  if (!(request.start == impl_->request.start) || !(request.end == impl_->request.end))
    throw Error(ErrorCode::bad_value, "start or end are not those that the ways were made for");
  TourProblem problem = impl_->problem(expected, request);
  WalkResult result;
  const std::optional<Tour> best = impl_->settled_tour(problem, {});
  if (!best) {
    const std::optional<double> shortest = shortest_tour_min(problem);
    if (shortest) result.shortest_min = std::ceil(*shortest * 10) / 10;
    return result;
  }
  result.walks.push_back(impl_->walk(*best, problem, low90, high90, request));
  problem.apart_from.push_back(best->order);
  for (int k = 0; k < request.alternatives; ++k) {
    const std::optional<Tour> other = impl_->other_tour(problem);
    if (!other) break;
    result.walks.push_back(impl_->walk(*other, problem, low90, high90, request));
    problem.apart_from.push_back(other->order);
  }
  std::stable_sort(result.walks.begin(), result.walks.end(),
                   [](const Walk& a, const Walk& b) { return a.expected > b.expected; });
  return result;
}

WalkResult Planner::solve(const WalkRequest& request) const {
  std::vector<double> expected, low90, high90;
  for (const Patch& patch : impl_->patches) {
    expected.push_back(patch.expected);
    low90.push_back(patch.low90);
    high90.push_back(patch.high90);
  }
  return solve(expected, low90, high90, request);
}

const std::vector<Patch>& Planner::patches() const {
  return impl_->patches;
}

}  // namespace stumpwise::walk
