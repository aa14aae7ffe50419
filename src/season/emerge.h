#pragma once
// Private to season: what the responses look at, the responses of one variant, and the words for a day.
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/season/index.h"

namespace stumpwise::season {

/// The season of being found at one place, tabled by day of the year.
class SeasonCurve {
 public:
  SeasonCurve(const species::Triggers& triggers, double latitude_deg, double elevation_m);
  /// Response on a day of the year (real, any turn of the year).
  double at(double day) const;
  struct Peak {
    int days_ahead = 0;    ///< to the nearest peak: negative when it is past
    bool smaller = false;  ///< less than half as high as the highest
  };
  std::optional<Peak> nearest_peak(Date date) const;

 private:
  struct Mode {
    double peak_day, kappa, weight;
  };
  double raw(double day) const;
  std::vector<Mode> modes_;
  std::vector<double> table_;
};

/// life(j) of index.h, summing to 1, and the lead of emergence over being found.
struct Lifetime {
  explicit Lifetime(double visible_days);
  std::vector<double> share;
  int lead_days = 0;
};

/// What the responses look at, day by day without holes. It does not depend on the variant: computed once,
/// used by all.
class Past {
 public:
  Past(const species::Triggers& triggers, const std::vector<weather::DayState>& states, std::size_t from);
  /// Goes on by one day (a hole before it becomes days that are not known).
  void append(const weather::DayState& state);
  std::size_t size() const { return known.size(); }
  bool empty() const { return known.empty(); }
  Date date(std::size_t i) const { return base::plus_days(first, static_cast<int>(i)); }
  std::optional<std::size_t> index_of(Date day) const;

  Date first{};
  std::vector<char> known;
  std::vector<double> temperature_degc;  ///< running mean of the window
  std::vector<double> water;             ///< API in mm, or a share
  std::vector<double> window_rain_mm;    ///< plain sum of the lag window, for the words
  std::vector<double> tmin_degc;

 private:
  void append_unknown();
  double window_mean(std::size_t i) const;
  double antecedent_mm(std::size_t i) const;
  const species::Triggers* triggers_;
  std::vector<double> own_temperature_, own_rain_;
};

/// The responses of one variant.
class Responses {
 public:
  Responses(const species::Triggers& triggers, const SeasonCurve& season, const Lifetime& life,
            const Variant& variant);
  /// Of a day; where the weather is not known only the season is set.
  Emergence at(const Past& past, std::size_t i) const;
  /// Appends the emergences of the days that `to` does not hold yet.
  void extend(const Past& past, std::vector<Emergence>& to) const;

 private:
  const species::Triggers& triggers_;
  const SeasonCurve& season_;
  int lead_days_;
  Variant variant_;
};

/// 1 over the most that a year of perfect weather has standing (C of index.h).
double perfect_year_scale(const SeasonCurve& season, const Lifetime& life);

/// The convolution of index.h on day `t`. `before_first` holds the season response of emergence on day -1, -2
/// ... before the first day of `emergences` as far as the lifetime reaches.
double standing(const Lifetime& life, const Past& past, const std::vector<Emergence>& emergences,
                const std::vector<double>& before_first, std::size_t t, double scale);
std::vector<double> season_before(const SeasonCurve& season, const Lifetime& life, Date first,
                                  double shift_days);

/// Share of the lifetime before day `t` whose weather is not known.
double unknown_share(const Lifetime& life, const Past& past, std::size_t t);

/// Draws inside the stated uncertainties, the same for every species and day.
std::vector<Variant> variants(const species::Triggers& triggers);

/// 5 % and 95 % of `values`, joined with the index and widened by `factor`, inside 0 to 1.
void set_band(std::vector<double> values, double factor, IndexDay& day);

/// Driver and limit of day `t` in words with numbers, and its own responses.
void describe(const species::Triggers& triggers, const SeasonCurve& season, const Lifetime& life,
              const Past& past, const std::vector<Emergence>& emergences, std::size_t t, IndexDay& day);

/// First state that still matters for the index on `first`.
std::size_t first_that_matters(const species::Triggers& triggers, const Lifetime& life,
                               const std::vector<weather::DayState>& states, Date first);

}  // namespace stumpwise::season
