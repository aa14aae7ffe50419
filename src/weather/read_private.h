#pragma once
#include <map>
#include <string>
#include <vector>

#include "stumpwise/weather/read.h"

namespace stumpwise::weather {

/// A value of a column in the project's units: degC, mm, m/s, h, per cent.
double to_standard(double value, const std::string& unit);
/// The place of a field in a day; nothing for "date".
std::optional<double>* field_of(Day& day, const std::string& field);

/// Collects days and finds what cannot be: every fault of every row with its line, doubles, units that are betrayed by the values.
class DayChecker {
 public:
  explicit DayChecker(std::string file) : file_(std::move(file)) {}
  void add(Day day, int line);
  void finish(Parsed<Series>& result);
  std::vector<base::Issue>& issues() { return issues_; }

 private:
  std::string file_;
  std::vector<Day> days_;
  std::map<Date, int> lines_;
  std::vector<base::Issue> issues_;
  double hottest_ = -1e9;
  int temperatures_ = 0, hot_ = 0;
};

}  // namespace stumpwise::weather
