#include <fmt/format.h>

#include <algorithm>

#include "read_private.h"
#include "stumpwise/base/csv.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::weather {
namespace {

struct KnownName { const char *field, *name, *unit; };
constexpr KnownName kKnown[] = {
    {"date", "date", ""}, {"date", "day", ""},
    {"tmin", "tmin_c", "degc"}, {"tmin", "tmin_degc", "degc"}, {"tmin", "tmin_f", "degf"}, {"tmin", "tmin", "degc"},
    {"tmax", "tmax_c", "degc"}, {"tmax", "tmax_degc", "degc"}, {"tmax", "tmax_f", "degf"}, {"tmax", "tmax", "degc"},
    {"tmean", "tmean_c", "degc"}, {"tmean", "tmean_degc", "degc"}, {"tmean", "tavg_c", "degc"}, {"tmean", "tmean_f", "degf"}, {"tmean", "tmean", "degc"},
    {"precip", "precip_mm", "mm"}, {"precip", "prcp_mm", "mm"}, {"precip", "rain_mm", "mm"}, {"precip", "precip_in", "in"}, {"precip", "prcp_in", "in"},
    {"snow_depth", "snow_depth_mm", "mm"}, {"rh_min", "rh_min_pct", "pct"}, {"rh_max", "rh_max_pct", "pct"}, {"wind", "wind_m_per_s", "m_per_s"}, {"sun", "sun_hours", "h"}};

struct Source { std::string field, name, unit; std::size_t column; };

std::vector<Source> sources_of(const base::CsvTable& table, const ColumnMap* columns, std::vector<base::Issue>& issues) {
  std::vector<Source> sources;
  auto have = [&](const std::string& field) { return std::any_of(sources.begin(), sources.end(), [&](const Source& s) { return s.field == field; }); };
  if (columns) {
    for (const auto& [field, column] : columns->columns) {
      if (const auto index = table.column(column.name)) sources.push_back({field, column.name, column.unit, *index});
      else issues.push_back({Severity::fault, table.file, 1, field, "there is no column \"" + base::printable(column.name) + "\"; there are: " + base::printable(base::join(table.header, ", "))});
    }
  } else {
    for (const KnownName& known : kKnown)
      if (const auto index = table.column(known.name); index && !have(known.field)) sources.push_back({known.field, known.name, known.unit, *index});
  }
  if (!have("date")) issues.push_back({Severity::fault, table.file, 1, "date", "no column with the date; there are: " + base::printable(base::join(table.header, ", ")) + ". Name it: --columns date=NAME,tmin=NAME:degc,..."});
  if (!have("tmean") && !(have("tmin") && have("tmax"))) issues.push_back({Severity::fault, table.file, 1, "temperature", "no columns tmin_c and tmax_c, nor tmean_c. Name them: --columns date=NAME,tmin=NAME:degf,tmax=NAME:degf,..."});
  if (!have("precip")) issues.push_back({Severity::fault, table.file, 1, "precip", "no column precip_mm. Name it: --columns date=NAME,...,precip=NAME:in"});
  return sources;
}

bool is_missing(const std::string& cell, const ColumnMap* columns) {
  if (cell.empty() || cell == "NA" || cell == "NaN" || cell == "null" || cell == "-9999") return true;
  return columns && std::find(columns->missing.begin(), columns->missing.end(), cell) != columns->missing.end();
}

}  // namespace

Parsed<Series> read_csv(const std::string& path, const ColumnMap* columns) {
  Parsed<Series> result;
  auto table = base::parse_csv(base::read_file(path), path);
  DayChecker checker(path);
  checker.issues() = std::move(table.issues);
  if (table.value.header.empty()) {
    checker.finish(result);
    return result;
  }
  const auto sources = sources_of(table.value, columns, checker.issues());
  if (!base::has_fault(checker.issues()) || !sources.empty()) {
    for (const base::CsvRow& row : table.value.rows) {
      Day day;
      bool dated = false;
      for (const Source& source : sources) {
        const std::string cell(base::trim(row.cells[source.column]));
        if (source.field == "date") {
          if (const auto date = base::parse_date(cell.substr(0, 10))) day.date = *date, dated = true;
          else checker.issues().push_back({Severity::fault, path, row.line, "date", "\"" + base::printable(cell) + "\" is no day of the calendar (YYYY-MM-DD)"});
          continue;
        }
        if (is_missing(cell, columns)) continue;
        const auto value = base::parse_number(cell);
        if (!value) checker.issues().push_back({Severity::fault, path, row.line, source.field, "\"" + base::printable(cell) + "\" is no number"});
        else *field_of(day, source.field) = to_standard(*value, source.unit);
      }
      if (dated) checker.add(day, row.line);
    }
  }
  checker.finish(result);
  if (result.value.days.empty() && !base::has_fault(result.issues)) result.issues.push_back({Severity::fault, path, 0, "", "holds no day"});
  return result;
}

Parsed<Series> read_any(const std::string& path, const ColumnMap* columns) {
  const std::string text = base::read_file(path);
  const std::string first = text.substr(0, text.find('\n'));
  if (columns) return read_csv(path, columns);
  const auto looks_ghcn_id = [](const std::string& word) { return word.size() == 11 && std::isalpha(static_cast<unsigned char>(word[0])) && std::isalpha(static_cast<unsigned char>(word[1])); };
  if (first.size() >= 260 && looks_ghcn_id(first.substr(0, 11)) && first.find(',') == std::string::npos) return read_ghcn_dly(path);
  const bool access = first.find("STATION") != std::string::npos && first.find("DATE") != std::string::npos && first.find("ATTRIBUTES") != std::string::npos;
  if (access || looks_ghcn_id(first.substr(0, first.find(',')))) return read_ghcn_csv(path);
  return read_csv(path);
}

std::vector<Day> parse_forecast_days(const std::string& text, Date first) {
  std::vector<Day> days;
  for (const std::string& word : base::split(text, ' ')) {
    if (base::trim(word).empty()) continue;
    const auto parts = base::split(base::trim(word), '/');
    std::vector<double> numbers;
    for (const auto& part : parts)
      if (const auto number = base::parse_number(part)) numbers.push_back(*number);
    if (parts.size() != 3 || numbers.size() != 3)
      throw Error(ErrorCode::bad_usage, "forecast day \"" + base::printable(word) + "\" is no TMIN/TMAX/MM", "For example --days \"4/15/0 6/17/8\": two days from tomorrow.");
    if (numbers[0] < kLowest_degc || numbers[1] > kHighest_degc || numbers[0] > numbers[1] || numbers[2] < 0 || numbers[2] > kMostRain_mm)
      throw Error(ErrorCode::bad_usage, fmt::format("forecast day \"{}\": TMIN at most TMAX, {} to {} °C, rain 0 to {} mm", base::printable(word), kLowest_degc, kHighest_degc, kMostRain_mm));
    Day day;
    day.date = base::plus_days(first, static_cast<int>(days.size()));
    day.tmin_degc = numbers[0];
    day.tmax_degc = numbers[1];
    day.precip_mm = numbers[2];
    days.push_back(day);
  }
  if (days.empty()) throw Error(ErrorCode::bad_usage, "the forecast holds no day", "For example --days \"4/15/0 6/17/8\".");
  if (days.size() > 30) throw Error(ErrorCode::bad_usage, fmt::format("a forecast of {} days: at most 30", days.size()));
  return days;
}

}  // namespace stumpwise::weather
