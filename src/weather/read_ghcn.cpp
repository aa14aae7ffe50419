#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "read_private.h"
#include "stumpwise/base/csv.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::weather {
namespace {

/// Elements of GHCN-Daily that are read, with the field and the unit of the archive.
const std::map<std::string, std::pair<std::string, std::string>> kElements{
    {"PRCP", {"precip", "tenth_mm"}}, {"TMAX", {"tmax", "tenth_degc"}}, {"TMIN", {"tmin", "tenth_degc"}}, {"TAVG", {"tmean", "tenth_degc"}},
    {"SNWD", {"snow_depth", "mm"}}, {"SNOW", {"snowfall", "mm"}}};

struct Gathered {
  std::map<Date, std::pair<Day, int>> days;
  int flagged = 0;

  void put(Date date, int line, const std::string& field, double value) {
    auto& [day, first_line] = days[date];
    if (first_line == 0) first_line = line;
    day.date = date;
    *field_of(day, field) = value;
  }
  void finish(const std::string& path, DayChecker& checker, Parsed<Series>& result) {
    for (auto& [date, entry] : days) checker.add(entry.first, entry.second);
    checker.finish(result);
    if (flagged > 0) result.issues.push_back({Severity::note, path, 0, "quality", std::to_string(flagged) + " values failed their archive's quality check and were left out"});
    if (days.empty()) result.issues.push_back({Severity::fault, path, 0, "", "holds no day"});
  }
};

/// Extremes of a day that contradict each other (a station's afternoon and morning readings shifted) are the archive's own: dropped.
void drop_contradictions(Gathered& gathered) {
  for (auto& [date, entry] : gathered.days) {
    Day& day = entry.first;
    if (day.tmin_degc && day.tmax_degc && *day.tmin_degc > *day.tmax_degc) {
      day.tmin_degc.reset();
      day.tmax_degc.reset();
      ++gathered.flagged;
    }
  }
}

Parsed<Series> read_by_station(const std::string& path, const std::string& text) {
  Parsed<Series> result;
  DayChecker checker(path);
  Gathered gathered;
  int line = 0;
  for (const std::string& row : base::split(text, '\n')) {
    ++line;
    const auto cells = base::split(base::trim(row), ',');
    if (cells.size() < 6) continue;
    const auto element = kElements.find(cells[2]);
    if (element == kElements.end()) continue;
    const std::string& d = cells[1];
    const auto date = d.size() == 8 ? base::parse_date(d.substr(0, 4) + "-" + d.substr(4, 2) + "-" + d.substr(6, 2)) : std::nullopt;
    const auto value = base::parse_number(cells[3]);
    if (!date || !value) {
      checker.issues().push_back({Severity::fault, path, line, date ? "value" : "date", "\"" + base::printable(date ? cells[3] : d) + "\" cannot be read"});
      continue;
    }
    result.value.station.id = result.value.station.name = cells[0];
    if (!cells[5].empty()) ++gathered.flagged;
    else gathered.put(*date, line, element->second.first, to_standard(*value, element->second.second));
  }
  drop_contradictions(gathered);
  gathered.finish(path, checker, result);
  return result;
}

/// The units of NOAA's access files are chosen by who ordered them and stand nowhere in the file: the values tell.
struct AccessUnits { std::string temperature, precipitation, said; };
AccessUnits units_of(const base::CsvTable& table) {
  auto largest = [&](const char* name, bool& whole) {
    double most = 0;
    whole = true;
    const auto column = table.column(name);
    if (!column) return most;
    for (const auto& row : table.rows)
      if (const auto value = base::parse_number(row.cells[*column])) {
        most = std::max(most, *value);
        whole = whole && *value == static_cast<double>(static_cast<long>(*value));
      }
    return most;
  };
  bool whole_t = true, whole_p = true;
  const double t = largest("TMAX", whole_t), p = largest("PRCP", whole_p);
  if (t > 150) return {"tenth_degc", "tenth_mm", "tenths of °C and of mm"};
  if (t > 55) return {"degf", "in", "°F and inches"};
  if (whole_p && p > 200) return {"degc", "tenth_mm", "°C and tenths of mm"};
  return {"degc", "mm", "°C and mm"};
}

}  // namespace

Parsed<Series> read_ghcn_dly(const std::string& path) {
  Parsed<Series> result;
  DayChecker checker(path);
  Gathered gathered;
  int line = 0;
  const std::string text = base::read_file(path);
  for (std::size_t start = 0; start < text.size();) {
    auto end = text.find('\n', start);
    if (end == std::string::npos) end = text.size();
    std::string row = text.substr(start, end - start);
    start = end + 1;
    ++line;
    while (!row.empty() && row.back() == '\r') row.pop_back();
    if (row.empty()) continue;
    if (row.size() < 21) {
      checker.issues().push_back({Severity::fault, path, line, "", fmt::format("a line of {} characters where 269 are needed: the file is truncated or no GHCN-Daily file", row.size())});
      continue;
    }
    row.resize(std::max<std::size_t>(row.size(), 269), ' ');
    const auto year = base::parse_integer(row.substr(11, 4)), month = base::parse_integer(row.substr(15, 2));
    if (!year || !month || *month < 1 || *month > 12) {
      checker.issues().push_back({Severity::fault, path, line, "date", "\"" + base::printable(row.substr(11, 6)) + "\" is no year and month"});
      continue;
    }
    result.value.station.id = result.value.station.name = row.substr(0, 11);
    const auto element = kElements.find(row.substr(17, 4));
    if (element == kElements.end()) continue;
    for (int d = 1; d <= 31; ++d) {
      const std::string cell = row.substr(21 + static_cast<std::size_t>(d - 1) * 8, 8);
      const auto value = base::parse_integer(cell.substr(0, 5));
      const auto date = base::parse_date(fmt::format("{:04d}-{:02d}-{:02d}", *year, *month, d));
      if (!value || *value == -9999 || !date) continue;
      if (cell[6] != ' ') ++gathered.flagged;
      else gathered.put(*date, line, element->second.first, to_standard(*value, element->second.second));
    }
  }
  drop_contradictions(gathered);
  gathered.finish(path, checker, result);
  return result;
}

Parsed<Series> read_ghcn_csv(const std::string& path, const ColumnMap* columns) {
  if (columns) return read_csv(path, columns);
  const std::string text = base::read_file(path);
  if (text.find("STATION") == std::string::npos) return read_by_station(path, text);
  Parsed<Series> result;
  auto table = base::parse_csv(text, path);
  DayChecker checker(path);
  checker.issues() = std::move(table.issues);
  Gathered gathered;
  const AccessUnits units = units_of(table.value);
  const auto date_column = table.value.column("DATE");
  if (!date_column) checker.issues().push_back({Severity::fault, path, 1, "DATE", "there is no such column"});
  for (const auto& row : table.value.rows) {
    if (!date_column) break;
    const auto date = base::parse_date(row.cells[*date_column]);
    if (!date) {
      checker.issues().push_back({Severity::fault, path, row.line, "DATE", "\"" + base::printable(row.cells[*date_column]) + "\" is no day of the calendar"});
      continue;
    }
    for (const auto& [name, target] : kElements) {
      const auto column = table.value.column(name);
      if (!column || base::trim(row.cells[*column]).empty()) continue;
      const auto value = base::parse_number(row.cells[*column]);
      if (!value) {
        checker.issues().push_back({Severity::fault, path, row.line, name, "\"" + base::printable(row.cells[*column]) + "\" is no number"});
        continue;
      }
      const auto attributes = table.value.column(name + "_ATTRIBUTES");
      const auto flags = attributes ? base::split(row.cells[*attributes], ',') : std::vector<std::string>{};
      if (flags.size() > 1 && !base::trim(flags[1]).empty()) {
        ++gathered.flagged;
        continue;
      }
      const bool heat = target.second == "tenth_degc";
      const std::string snow_unit = units.precipitation == "in" ? "in" : "mm";
      gathered.put(*date, row.line, target.first, to_standard(*value, heat ? units.temperature : target.first == "precip" ? units.precipitation : snow_unit));
    }
  }
  Station& station = result.value.station;
  auto first_cell = [&](const char* name) {
    const auto column = table.value.column(name);
    return column && !table.value.rows.empty() ? table.value.rows.front().cells[*column] : std::string();
  };
  station.id = first_cell("STATION");
  station.name = first_cell("NAME").empty() ? station.id : first_cell("NAME");
  station.place = {.lat_deg = base::parse_number(first_cell("LATITUDE")).value_or(0), .lon_deg = base::parse_number(first_cell("LONGITUDE")).value_or(0)};
  station.elevation_m = base::parse_number(first_cell("ELEVATION")).value_or(0);
  drop_contradictions(gathered);
  gathered.finish(path, checker, result);
  result.issues.push_back({Severity::note, path, 0, "units", "taken as " + units.said});
  return result;
}

}  // namespace stumpwise::weather
