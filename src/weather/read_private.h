#pragma once
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "stumpwise/base/csv.h"
#include "stumpwise/weather/read.h"

namespace stumpwise::weather {

/// The whole file; Error(unreadable) above 64 MB, which no series of days of one station has.
std::string read_weather_file(const std::string& path);

Parsed<Series> csv_from_text(std::string_view text, const std::string& path, const ColumnMap* columns);
Parsed<Series> dly_from_text(std::string_view text, const std::string& path);
Parsed<Series> ghcn_csv_from_text(std::string_view text, const std::string& path);

/// A value of a column in the project's units: degC, mm, m/s, h, per cent. An empty unit is the project's
/// own.
double to_standard(double value, const std::string& unit);
/// The place of a field in a day; null for "date".
std::optional<double>* field_of(Day& day, const std::string& field);

/// Column names that are known without a map, with the unit that the name says.
struct KnownName {
  const char *field, *name, *unit;
};
const std::vector<KnownName>& known_names();

/// Elements of GHCN-Daily that are read.
struct Element {
  const char *name, *field, *unit;  ///< unit of the archive
};
const Element* element_of(std::string_view name);

/// Collects days and finds what cannot be: every fault of every row with its line, doubles, units that the
/// values betray.
class DayChecker {
 public:
  explicit DayChecker(std::string file) : file_(std::move(file)) {}
  void fault(int line, const std::string& field, const std::string& text);
  void take(std::vector<base::Issue> issues);
  void add(Day day, int line);
  /// Days in order and all issues by line into `result`.
  void finish(Parsed<Series>& result);

 private:
  void check_range(int line, const char* field, const std::optional<double>& value, double low, double high,
                   const char* unit);
  void check_order(const Day& day, int line);
  /// What unit the temperatures seem to be in where it is not degC; empty otherwise.
  std::string betrayed_unit() const;
  void judge_units();

  std::string file_;
  std::vector<Day> days_;
  std::map<Date, int> lines_;
  std::vector<base::Issue> issues_, temperature_ranges_;
  std::vector<double> temperatures_;
};

/// Days gathered value by value, for archives that have a row per element.
class Gathered {
 public:
  explicit Gathered(std::string path) : path_(std::move(path)), checker_(path_) {}
  DayChecker& checker() { return checker_; }
  void station(const std::string& id, int line);
  void put(Date date, int line, const Element& element, double value, const std::string& unit,
           char measurement_flag, char quality_flag);
  Parsed<Series> finish();

 private:
  void drop_contradictions();

  std::string path_;
  DayChecker checker_;
  std::map<Date, std::pair<Day, int>> days_;
  std::string station_;
  bool mixed_ = false;
  int flagged_ = 0, traces_ = 0, contradictions_ = 0;
};

}  // namespace stumpwise::weather
