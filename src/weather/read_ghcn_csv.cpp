#include <algorithm>
#include <cmath>

#include "read_private.h"
#include "stumpwise/base/text.h"

namespace stumpwise::weather {
namespace {

char first_char(std::string_view text) {
  return base::trim(text).empty() ? ' ' : base::trim(text)[0];
}

/// ID,DATE,ELEMENT,VALUE,M,Q,S[,TIME], with or without a header line.
Parsed<Series> by_station(std::string_view text, const std::string& path) {
  Gathered gathered(path);
  int line = 0;
  for (const std::string& row : base::split(text, '\n')) {
    ++line;
    if (base::trim(row).empty()) continue;
    const auto cells = base::split(base::trim(row), ',');
    if (line == 1 && cells.size() > 2 && base::lower(cells[2]) == "element") continue;
    auto fault = [&](const char* field, const std::string& what) {
      gathered.checker().fault(line, field, what);
    };
    if (cells.size() < 6) {
      fault("", std::to_string(cells.size()) +
                    " cells where 7 or 8 are needed (station, day, element, value, three flags, time)");
      continue;
    }
    gathered.station(cells[0], line);
    const Element* element = element_of(cells[2]);
    if (!element) continue;
    const std::string& d = cells[1];
    const auto date = d.size() == 8
                          ? base::parse_date(d.substr(0, 4) + "-" + d.substr(4, 2) + "-" + d.substr(6, 2))
                          : base::parse_date(d);
    const auto value = base::parse_number(cells[3]);
    if (!date) fault("date", "\"" + base::printable(d) + "\" is no day of the calendar (YYYYMMDD)");
    if (!value) fault(element->name, "\"" + base::printable(cells[3]) + "\" is no number");
    if (date && value && *value != -9999)
      gathered.put(*date, line, *element, *value, element->unit, first_char(cells[4]), first_char(cells[5]));
  }
  return gathered.finish();
}

struct Values {
  double most = 0;
  bool any = false, whole = true;
};

Values values_of(const base::CsvTable& table, const char* name) {
  Values values;
  const auto column = table.column(name);
  if (!column) return values;
  for (const auto& row : table.rows)
    if (const auto value = base::parse_number(row.cells[*column]); value && *value != -9999) {
      values.most = std::max(values.most, std::abs(*value));
      values.any = values.any || *value != 0;
      values.whole = values.whole && *value == std::floor(*value);
    }
  return values;
}

/// The units of NOAA's access files are chosen by who ordered them and stand nowhere in the file. What tells:
/// the archive's own tenths are whole numbers throughout; Fahrenheit comes as whole numbers beside hundredths
/// of an inch; degC and mm come with a decimal.
struct AccessUnits {
  std::string temperature, precipitation, snow, said;
};
std::optional<AccessUnits> units_of(const base::CsvTable& table) {
  const Values high = values_of(table, "TMAX"), low = values_of(table, "TMIN"),
               mean = values_of(table, "TAVG"), rain = values_of(table, "PRCP");
  const bool whole = high.whole && low.whole;
  const double most = std::max({high.most, low.most, mean.most});
  const AccessUnits tenths{"tenth_degc", "tenth_mm", "mm", "tenths of °C and of mm"},
      us{"degf", "in", "in", "°F and inches"}, metric{"degc", "mm", "mm", "°C and mm"};
  if (!whole) return most > 60 ? us : metric;
  if (most > 134) return tenths;
  if (rain.any) return rain.whole ? tenths : us;
  if (most > 60) return us;
  return std::nullopt;
}

struct AccessColumn {
  const Element* element;
  std::size_t value;
  std::optional<std::size_t> attributes;
  std::string unit;
};

std::vector<AccessColumn> access_columns(const base::CsvTable& table, const AccessUnits& units) {
  std::vector<AccessColumn> columns;
  for (const char* name : {"PRCP", "TMAX", "TMIN", "TAVG", "SNWD", "SNOW"}) {
    const auto column = table.column(name);
    if (!column) continue;
    const Element* element = element_of(name);
    const std::string field = element->field;
    const std::string& unit = field == "precip" ? units.precipitation
                              : field[0] == 't' ? units.temperature
                                                : units.snow;
    columns.push_back({element, *column, table.column(std::string(name) + "_ATTRIBUTES"), unit});
  }
  return columns;
}

void read_station(const base::CsvTable& table, Station& station) {
  auto cell = [&](const char* name) {
    const auto column = table.column(name);
    return column && !table.rows.empty() ? std::string(base::trim(table.rows.front().cells[*column]))
                                         : std::string();
  };
  station.id = cell("STATION");
  station.name = cell("NAME").empty() ? station.id : cell("NAME");
  station.place = {.lat_deg = base::parse_number(cell("LATITUDE")).value_or(0),
                   .lon_deg = base::parse_number(cell("LONGITUDE")).value_or(0)};
  station.elevation_m = base::parse_number(cell("ELEVATION")).value_or(0);
}

void read_access_row(const base::CsvRow& row, Date date, const std::vector<AccessColumn>& columns,
                     Gathered& gathered) {
  for (const AccessColumn& column : columns) {
    const std::string_view cell = base::trim(row.cells[column.value]);
    if (cell.empty()) continue;
    const auto value = base::parse_number(cell);
    if (!value) {
      gathered.checker().fault(row.line, column.element->name,
                               "\"" + base::printable(cell) + "\" is no number");
      continue;
    }
    if (*value == -9999) continue;
    const auto flags =
        column.attributes ? base::split(row.cells[*column.attributes], ',') : std::vector<std::string>{};
    gathered.put(date, row.line, *column.element, *value, column.unit,
                 flags.empty() ? ' ' : first_char(flags[0]), flags.size() < 2 ? ' ' : first_char(flags[1]));
  }
}

Parsed<Series> access(std::string_view text, const std::string& path) {
  auto table = base::parse_csv(text, path);
  Gathered gathered(path);
  gathered.checker().take(std::move(table.issues));
  const auto units = units_of(table.value);
  if (!units)
    gathered.checker().fault(0, "units",
                             "the values do not tell whether they are °F, °C or tenths. Say it: --columns "
                             "date=DATE,tmin=TMIN:degc,tmax=TMAX:degc,precip=PRCP:mm");
  const auto columns = access_columns(table.value, units.value_or(AccessUnits{}));
  const auto date_column = table.value.column("DATE"), station_column = table.value.column("STATION");
  if (!date_column) gathered.checker().fault(1, "DATE", "there is no such column");
  for (const auto& row : table.value.rows) {
    if (station_column) gathered.station(std::string(base::trim(row.cells[*station_column])), row.line);
    if (!date_column) continue;
    const std::string cell(base::trim(row.cells[*date_column]));
    if (const auto date = base::parse_date(cell))
      read_access_row(row, *date, columns, gathered);
    else
      gathered.checker().fault(row.line, "DATE",
                               "\"" + base::printable(cell) + "\" is no day of the calendar (YYYY-MM-DD)");
  }
  Parsed<Series> result = gathered.finish();
  read_station(table.value, result.value.station);
  if (units) result.issues.push_back({Severity::note, path, 0, "units", "taken as " + units->said});
  return result;
}

}  // namespace

Parsed<Series> ghcn_csv_from_text(std::string_view text, const std::string& path) {
  const std::string_view first = text.substr(0, text.find('\n'));
  return first.find("STATION") != std::string_view::npos ? access(text, path) : by_station(text, path);
}

Parsed<Series> read_ghcn_csv(const std::string& path, const ColumnMap* columns) {
  const std::string text = read_weather_file(path);
  return columns ? csv_from_text(text, path, columns) : ghcn_csv_from_text(text, path);
}

}  // namespace stumpwise::weather
