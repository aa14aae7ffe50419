#pragma once
// Private to season: the emergence of one day for one variant of the parameters, and the words for it.
#include <string>
#include <vector>

#include "stumpwise/season/index.h"

namespace stumpwise::season {

/// The season response of one place and variant, ready to be asked day by day.
class SeasonCurve {
 public:
  SeasonCurve(const species::Triggers& triggers, double latitude_deg, double elevation_m, double shift_days);
  double at(Date date) const;
  /// Days from `date` to the nearest peak: positive when it still lies ahead.
  int days_to_peak(Date date) const;

 private:
  double raw(double day) const;
  struct Mode { double peak_day, kappa, weight; };
  std::vector<Mode> modes_;
  double scale_ = 1;
};

/// Emergence day by day for one species, site and variant.
class Emerger {
 public:
  Emerger(const species::Triggers& triggers, const weather::Site& site, const Variant& variant);
  /// Of day `i` of `states`, which looks back over its windows as far as the states reach.
  Emergence at(const std::vector<weather::DayState>& states, std::size_t i) const;
  /// Share of what is visible that is still there a day later.
  double survival() const { return survival_; }
  double temperature_mean(const std::vector<weather::DayState>& states, std::size_t i) const;
  double water_value(const std::vector<weather::DayState>& states, std::size_t i) const;
  const SeasonCurve& season() const { return season_; }

 private:
  const species::Triggers& triggers_;
  Variant variant_;
  SeasonCurve season_;
  double survival_;
};

/// index(t) = keep(t) ((1 - s) emerge(t) + s index(t-1)) with s = exp(-1 / visible_days): the convolution of design.md section 2 with
/// a geometric visible lifetime, life(j) = (1 - s) s^j, written as a recursion.
double next_index(double before, const Emergence& today, double survival, int days_passed);

/// Draws inside the stated uncertainties (their 90 % ranges), the same for every species and day.
std::vector<Variant> variants(const species::Triggers& triggers, int n);

/// Driver and limit of a day in words with numbers.
void describe(const species::Triggers& triggers, const Emerger& emerger, const std::vector<weather::DayState>& states, std::size_t i, IndexDay& day);

/// 5 % and 95 % of the values joined with `index`, widened by `factor`, inside 0 to 1.
void set_band(std::vector<double> values, double factor, IndexDay& day);

/// First state that still matters for the index on `first`: windows plus five lifetimes before it.
std::size_t first_that_matters(const species::Triggers& triggers, const std::vector<weather::DayState>& states, Date first);

}  // namespace stumpwise::season
