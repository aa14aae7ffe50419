#include "tour.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "land.h"

namespace stumpwise::walk {
namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();
/// Minutes by which limits are kept clear, far below what anybody walks to.
constexpr double kHair_min = 1e-6;

struct Span {
  double total_min = 0;   ///< leaving to the end
  double needed_min = 0;  ///< daylight that it takes, return factor included
};

/// An order with the least search in each place.
Span least_span(const TourProblem& problem, const std::vector<int>& order) {
  Span span;
  double at_min = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const Site& site = problem.sites[order[i]];
    at_min += (i == 0 ? site.go_min : problem.way_min(order[i - 1], order[i])) + site.law.least_min;
    span.needed_min = std::max(span.needed_min, at_min + problem.return_factor * site.back_min);
  }
  span.total_min = order.empty() ? 0 : at_min + problem.sites[order.back()].back_min;
  span.needed_min = std::max(span.needed_min, span.total_min);
  return span;
}

std::vector<int> musts_of(const TourProblem& problem) {
  std::vector<int> musts;
  for (std::size_t i = 0; i < problem.sites.size(); ++i)
    if (problem.sites[i].must) musts.push_back(static_cast<int>(i));
  return musts;
}

/// Every order up to seven places; above that nearest first, then segments reversed while that helps.
template <class Visit>
void for_orders(const TourProblem& problem, std::vector<int> places, Visit&& visit) {
  if (places.size() <= 7) {
    do visit(places);
    while (std::next_permutation(places.begin(), places.end()));
    return;
  }
  for (std::size_t i = 0; i < places.size(); ++i) {
    const auto way = [&](int to) {
      return i == 0 ? problem.sites[to].go_min : problem.way_min(places[i - 1], to);
    };
    std::iter_swap(places.begin() + i, std::min_element(places.begin() + i, places.end(),
                                                        [&](int a, int b) { return way(a) < way(b); }));
  }
  double least_min = least_span(problem, places).total_min;
  visit(places);
  for (bool better = true; better;) {
    better = false;
    for (std::size_t i = 0; i + 1 < places.size(); ++i)
      for (std::size_t j = i + 1; j < places.size(); ++j) {
        std::reverse(places.begin() + i, places.begin() + j + 1);
        const double minutes = least_span(problem, places).total_min;
        if (minutes < least_min - 1e-9) {
          least_min = minutes;
          better = true;
          visit(places);
        } else {
          std::reverse(places.begin() + i, places.begin() + j + 1);
        }
      }
  }
}

}  // namespace

TourClock::TourClock(const TourProblem& problem) : problem_(&problem) {
  double most = 0;
  for (const Site& site : problem.sites)
    if (site.usable) most = std::max(most, site.finds);
  hair_ = 1e-8 * most;
}

bool TourClock::too_alike(const std::vector<int>& order) const {
  for (const auto& other : problem_->apart_from) {
    std::size_t shared = 0;
    for (int site : order) shared += std::count(other.begin(), other.end(), site);
    if (2 * shared >= std::min(order.size(), other.size()) && shared > 0) return true;
  }
  return false;
}

double TourClock::worth(const std::vector<int>& order) {
  ++asked_;
  finds_ = 0;
  const std::size_t n = order.size();
  laws_.resize(n);
  limits_min_.resize(n);
  search_min_.resize(n);
  if (n == 0) return 0;
  double way_min = 0, least_min = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const Site& site = problem_->sites[order[i]];
    way_min += i == 0 ? site.go_min : problem_->way_min(order[i - 1], order[i]);
    least_min += site.law.least_min;
    limits_min_[i] = problem_->daylight_min - problem_->return_factor * site.back_min - way_min - kHair_min;
    if (least_min > limits_min_[i]) return -1;
    laws_[i] = site.law;
  }
  const double back_min = problem_->sites[order.back()].back_min;
  limits_min_.back() = std::min(limits_min_.back(), std::min(problem_->budget_min, problem_->daylight_min) -
                                                        back_min - way_min - kHair_min);
  if (!problem_->apart_from.empty() && too_alike(order)) return -1;
  if (!divide_in_time(laws_, limits_min_, search_min_)) return -1;
  for (std::size_t i = 0; i < n; ++i)
    finds_ += problem_->sites[order[i]].finds * -std::expm1(-laws_[i].per_min * search_min_[i]);
  return std::max(0.0, finds_ - hair_ * (way_min + back_min));
}

Tour TourClock::tour(std::vector<int> order) {
  Tour tour;
  tour.worth = worth(order);
  tour.finds = finds_;
  tour.search_min = search_min_;
  tour.order = std::move(order);
  return tour;
}

std::vector<int> order_of_musts(const TourProblem& problem) {
  std::vector<int> best;
  double least_min = kNever;
  for_orders(problem, musts_of(problem), [&](const std::vector<int>& order) {
    const Span span = least_span(problem, order);
    // An order that daylight allows goes before a shorter one that it does not.
    const double minutes = span.total_min + (span.needed_min > problem.daylight_min ? kLongestWay_min : 0);
    if (minutes < least_min) {
      least_min = minutes;
      best = order;
    }
  });
  return best;
}

std::optional<double> shortest_tour_min(const TourProblem& problem) {
  double by_budget_min = kNever, by_daylight_min = kNever;
  const auto visit = [&](const std::vector<int>& order) {
    const Span span = least_span(problem, order);
    by_daylight_min = std::min(by_daylight_min, span.needed_min);
    if (span.needed_min + 2 * kHair_min <= problem.daylight_min)
      by_budget_min = std::min(by_budget_min, span.total_min);
  };
  const std::vector<int> musts = musts_of(problem);
  if (!musts.empty()) {
    for_orders(problem, musts, visit);
  } else {
    for (std::size_t i = 0; i < problem.sites.size(); ++i)
      if (problem.sites[i].usable) visit({static_cast<int>(i)});
  }
  const double least_min = by_budget_min < kNever ? by_budget_min : by_daylight_min;
  if (least_min == kNever) return std::nullopt;
  return least_min + 2 * kHair_min;
}

}  // namespace stumpwise::walk
