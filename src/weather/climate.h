#pragma once
#include <array>
#include <optional>

#include "stumpwise/weather/series.h"

namespace stumpwise::weather {

/// The usual day of a station, told from the days seen so far; used only to carry the state of soil, snow and
/// wood over holes, never shown as weather. Days are added as the run goes on, so that what comes later
/// changes nothing before.
///
/// Temperature: mean and one yearly wave by least squares; half-range of the day: mean of what was measured.
/// Rain: of the calendar month (of all days where the month has fewer than 20), given in whole wet days as
/// often as they come (a day is wet from 1 mm), spread evenly: the same amount as a daily drizzle would wet
/// wood far too well.
class Climate {
 public:
  /// Filled days are passed over.
  void add(const Day& day);
  /// Nothing before six calendar months have at least 20 days with temperature each: a yearly wave cannot be
  /// told from less.
  std::optional<double> mean_degc(Date date);
  std::optional<double> half_range_degc() const;
  double rain_mm(Date date) const;

 private:
  struct Rain {
    double sum = 0;
    int n = 0, wet = 0;
  };
  using Three = std::array<double, 3>;
  static Three wave_at(Date date);
  std::optional<Three> solved() const;

  std::array<Three, 3> normal_{};
  Three right_{};
  std::array<int, 12> warm_days_{};
  std::optional<std::optional<Three>> wave_;  ///< the solution, until a day is added
  double ranges_ = 0;
  int n_ranges_ = 0;
  std::array<Rain, 12> months_{};
  Rain all_;
};

}  // namespace stumpwise::weather
