#include <algorithm>

#include "read_private.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::weather {
namespace {

struct Source {
  std::string field, unit;
  std::size_t column;
};

std::string known_for(const std::string& field) {
  std::vector<std::string> names;
  for (const KnownName& known : known_names())
    if (field == known.field) names.emplace_back(known.name);
  return base::join(names, ", ");
}

/// Which column holds what. Names that stand twice and names that are missing are faults of the header line.
std::vector<Source> sources_of(const base::CsvTable& table, const ColumnMap* columns, DayChecker& checker) {
  std::vector<Source> sources;
  const std::string there = "there are: " + base::printable(base::join(table.header, ", "));
  auto have = [&](const std::string& field) {
    return std::any_of(sources.begin(), sources.end(), [&](const Source& s) { return s.field == field; });
  };
  auto add = [&](const std::string& field, const std::string& name, const std::string& unit,
                 std::size_t index) {
    sources.push_back({field, unit, index});
    if (std::count(table.header.begin(), table.header.end(), table.header[index]) > 1)
      checker.fault(1, field, "column \"" + base::printable(name) + "\" stands more than once");
  };
  if (columns) {
    for (const auto& [field, column] : columns->columns) {
      if (const auto index = table.column(column.name))
        add(field, column.name, column.unit, *index);
      else
        checker.fault(1, field, "there is no column \"" + base::printable(column.name) + "\"; " + there);
    }
  } else {
    for (const KnownName& known : known_names())
      if (const auto index = table.column(known.name); index && !have(known.field))
        add(known.field, known.name, known.unit, *index);
  }
  if (columns && sources.size() < columns->columns.size()) return sources;
  if (!have("date"))
    checker.fault(1, "date",
                  "no column \"date\"; " + there + ". Name it: --columns date=NAME,tmin=NAME:degc,...");
  if (!have("tmean") && !(have("tmin") && have("tmax")))
    checker.fault(1, "temperature",
                  "neither tmean nor both tmin and tmax. Known names: " + known_for("tmin") + ", " +
                      known_for("tmax") + ", " + known_for("tmean") + "; " + there +
                      ". Name them: --columns date=NAME,tmin=NAME:degc,tmax=NAME:degc,precip=NAME:mm");
  if (!have("precip"))
    checker.fault(1, "precip",
                  "no precipitation. Known names: " + known_for("precip") + "; " + there +
                      ". Name it: --columns date=NAME,...,precip=NAME:mm");
  return sources;
}

bool is_missing(const std::string& cell, const ColumnMap* columns) {
  if (cell.empty() || cell == "-9999") return true;
  const std::string word = base::lower(cell);
  if (word == "na" || word == "nan" || word == "null") return true;
  return columns &&
         std::find(columns->missing.begin(), columns->missing.end(), cell) != columns->missing.end();
}

/// 2026-05-12, the same with a time behind it, 20260512. Other orders of day and month cannot be told apart
/// and are refused.
std::optional<Date> date_of(const std::string& cell) {
  if (cell.size() > 10 && cell[10] != 'T' && cell[10] != ' ') return std::nullopt;
  if (cell.size() == 8 && base::parse_integer(cell))
    return base::parse_date(cell.substr(0, 4) + "-" + cell.substr(4, 2) + "-" + cell.substr(6, 2));
  return base::parse_date(cell.substr(0, 10));
}

/// Reads one row into a day; true where its date can be used.
bool read_row(const base::CsvRow& row, const std::vector<Source>& sources, const ColumnMap* columns,
              DayChecker& checker, Day& day, int& traces) {
  bool dated = false;
  for (const Source& source : sources) {
    const std::string cell(base::trim(row.cells[source.column]));
    if (source.field == "date") {
      if (const auto date = date_of(cell))
        day.date = *date, dated = true;
      else
        checker.fault(row.line, "date",
                      "\"" + base::printable(cell) + "\" is no day of the calendar (YYYY-MM-DD)");
      continue;
    }
    if (is_missing(cell, columns)) continue;
    const bool water = source.field == "precip" || source.field == "snowfall" || source.field == "snow_depth";
    if (water && (cell == "T" || cell == "t")) {
      *field_of(day, source.field) = 0;
      ++traces;
    } else if (const auto value = base::parse_number(cell)) {
      *field_of(day, source.field) = to_standard(*value, source.unit);
    } else {
      const bool comma = cell.find(',') != std::string::npos;
      checker.fault(row.line, source.field,
                    "\"" + base::printable(cell) + "\" is no number" +
                        (comma ? " (write a decimal point, not a comma)" : ""));
    }
  }
  return dated;
}

}  // namespace

std::string read_weather_file(const std::string& path) {
  return base::read_file(path, std::size_t{64} << 20);
}

Parsed<Series> csv_from_text(std::string_view text, const std::string& path, const ColumnMap* columns) {
  Parsed<Series> result;
  auto table = base::parse_csv(text, path);
  DayChecker checker(path);
  checker.take(std::move(table.issues));
  int traces = 0;
  if (!table.value.header.empty()) {
    const auto sources = sources_of(table.value, columns, checker);
    for (const base::CsvRow& row : table.value.rows) {
      Day day;
      if (read_row(row, sources, columns, checker, day, traces)) checker.add(std::move(day), row.line);
    }
  }
  checker.finish(result);
  if (traces > 0)
    result.issues.push_back(
        {Severity::note, path, 0, "precip", std::to_string(traces) + " traces (T) count as 0"});
  return result;
}

Parsed<Series> read_csv(const std::string& path, const ColumnMap* columns) {
  return csv_from_text(read_weather_file(path), path, columns);
}

}  // namespace stumpwise::weather
