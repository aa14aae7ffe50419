#include <algorithm>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/random.h"
#include "tour.h"

namespace stumpwise::walk {
namespace {

constexpr std::uint64_t kSeed = 20260512;
constexpr double kGain = 1e-12;
constexpr int kLongestChain = 3;

class TourSearch {
 public:
  TourSearch(const TourProblem& problem, long most_asked)
      : clock_(problem), most_asked_(most_asked), random_(kSeed) {
    for (std::size_t i = 0; i < problem.sites.size(); ++i)
      if (problem.sites[i].usable) usable_.push_back(static_cast<int>(i));
    used_.assign(problem.sites.size(), 0);
  }

  std::optional<Tour> run(std::vector<int> from) {
    if (from.empty()) from = order_of_musts(problem());
    for (std::size_t i = 0; i < problem().sites.size(); ++i)
      if (problem().sites[i].must && !std::count(from.begin(), from.end(), static_cast<int>(i)))
        return std::nullopt;
    take(from);
    if (worth_ < 0) return std::nullopt;
    improve();
    std::vector<int> best = order_;
    double best_worth = worth_;
    start_from_each_of_the_richest(from, best, best_worth);
    take(best);
    while (clock_.asked() < most_asked_ && usable_.size() > 1) {
      base::check_interrupt();
      kick();
      improve();
      if (worth_ > best_worth + kGain) {
        best_worth = worth_;
        best = order_;
      } else if (worth_ < 0.99 * best_worth) {
        take(best);
      }
    }
    return clock_.tour(best);
  }

 private:
  const TourProblem& problem() const { return clock_.problem(); }

  void take(const std::vector<int>& order) {
    order_ = order;
    worth_ = clock_.worth(order_);
    std::fill(used_.begin(), used_.end(), std::uint8_t{0});
    for (int site : order_) used_[site] = 1;
  }

  bool take_if_better(const std::vector<int>& order) {
    const double worth = clock_.worth(order);
    if (worth <= worth_ + kGain) return false;
    worth_ = worth;
    order_ = order;
    return true;
  }

  /// Tours grown around single rich places: greedy insertion alone may never leave a poor neighbourhood.
  void start_from_each_of_the_richest(const std::vector<int>& from, std::vector<int>& best,
                                      double& best_worth) {
    constexpr std::size_t kStarts = 6;
    std::vector<std::pair<double, int>> alone;
    for (int site : usable_) {
      if (std::count(from.begin(), from.end(), site)) continue;
      std::vector<int> order = from;
      order.push_back(site);
      alone.push_back({-clock_.worth(order), site});
    }
    std::sort(alone.begin(), alone.end());
    for (std::size_t i = 0; i < std::min(kStarts, alone.size()) && clock_.asked() < most_asked_; ++i) {
      base::check_interrupt();
      std::vector<int> order = from;
      order.push_back(alone[i].second);
      take(order);
      if (worth_ < 0) continue;
      improve();
      if (worth_ > best_worth + kGain) {
        best_worth = worth_;
        best = order_;
      }
    }
  }

  void improve() {
    for (bool better = true; better && clock_.asked() < most_asked_;) {
      better = insert() || replace();
      better = reverse() || better;
      better = move_chain() || better;
      better = drop() || better;
    }
  }

  /// The best single insertion.
  bool insert() {
    std::vector<int> best;
    double best_worth = worth_ + kGain;
    for (int site : usable_) {
      if (used_[site]) continue;
      trial_ = order_;
      trial_.insert(trial_.begin(), site);
      for (std::size_t at = 0;; ++at) {
        const double worth = clock_.worth(trial_);
        if (worth > best_worth) {
          best_worth = worth;
          best = trial_;
        }
        if (at == order_.size()) break;
        std::swap(trial_[at], trial_[at + 1]);
      }
    }
    if (best.empty()) return false;
    take(best);
    return true;
  }

  /// The best exchange of one stop for a place not visited.
  bool replace() {
    std::vector<int> best;
    double best_worth = worth_ + kGain;
    for (std::size_t at = 0; at < order_.size(); ++at) {
      if (problem().sites[order_[at]].must) continue;
      trial_ = order_;
      for (int site : usable_) {
        if (used_[site]) continue;
        trial_[at] = site;
        const double worth = clock_.worth(trial_);
        if (worth > best_worth) {
          best_worth = worth;
          best = trial_;
        }
      }
    }
    if (best.empty()) return false;
    take(best);
    return true;
  }

  bool reverse() {
    bool better = false;
    for (std::size_t i = 0; i + 1 < order_.size(); ++i)
      for (std::size_t j = i + 1; j < order_.size(); ++j) {
        trial_ = order_;
        std::reverse(trial_.begin() + i, trial_.begin() + j + 1);
        better = take_if_better(trial_) || better;
      }
    return better;
  }

  /// One to three stops in a row to another place in the order.
  bool move_chain() {
    bool better = false;
    const int n = static_cast<int>(order_.size());
    for (int length = 1; length <= std::min(kLongestChain, n - 1); ++length)
      for (int from = 0; from + length <= n; ++from)
        for (int to = 0; to + length <= n; ++to) {
          if (to == from) continue;
          trial_ = order_;
          const std::vector<int> chain(trial_.begin() + from, trial_.begin() + from + length);
          trial_.erase(trial_.begin() + from, trial_.begin() + from + length);
          trial_.insert(trial_.begin() + to, chain.begin(), chain.end());
          better = take_if_better(trial_) || better;
        }
    return better;
  }

  bool drop() {
    for (std::size_t at = 0; at < order_.size(); ++at) {
      if (problem().sites[order_[at]].must) continue;
      trial_ = order_;
      trial_.erase(trial_.begin() + at);
      const int site = order_[at];
      if (take_if_better(trial_)) {
        used_[site] = 0;
        return true;
      }
    }
    return false;
  }

  /// A chain of stops away, or a strange one in, at random places.
  void kick() {
    trial_ = order_;
    const int n = static_cast<int>(trial_.size());
    if (n > 0 && random_.chance(0.6)) {
      const int from = random_.integer(0, n - 1), to = std::min(n, from + random_.integer(1, kLongestChain));
      for (int at = to - 1; at >= from; --at)
        if (!problem().sites[trial_[at]].must) trial_.erase(trial_.begin() + at);
    }
    const int site = usable_[random_.integer(0, static_cast<int>(usable_.size()) - 1)];
    if (!used_[site]) {
      trial_.insert(trial_.begin() + random_.integer(0, static_cast<int>(trial_.size())), site);
      make_room(site);
    }
    if (clock_.worth(trial_) >= 0) take(trial_);
  }

  /// Drops stops, the one that leaves most first, until the trial can be walked with the new site in it.
  void make_room(int kept) {
    while (trial_.size() > 1 && clock_.worth(trial_) < 0) {
      std::size_t worst = trial_.size();
      double best_worth = -2;
      for (std::size_t at = 0; at < trial_.size(); ++at) {
        if (trial_[at] == kept || problem().sites[trial_[at]].must) continue;
        std::vector<int> without = trial_;
        without.erase(without.begin() + at);
        const double worth = clock_.worth(without);
        if (worth > best_worth) {
          best_worth = worth;
          worst = at;
        }
      }
      if (worst == trial_.size()) return;
      trial_.erase(trial_.begin() + worst);
    }
  }

  TourClock clock_;
  long most_asked_;
  base::Random random_;
  std::vector<int> usable_, order_, trial_;
  std::vector<std::uint8_t> used_;
  double worth_ = -1;
};

}  // namespace

std::optional<Tour> best_tour(const TourProblem& problem, std::vector<int> from, long most_asked) {
  return TourSearch(problem, most_asked).run(std::move(from));
}

}  // namespace stumpwise::walk
