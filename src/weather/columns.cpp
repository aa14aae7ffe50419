#include <map>
#include <set>

#include "read_private.h"
#include "stumpwise/base/text.h"
#include "stumpwise/base/units.h"

namespace stumpwise::weather {
namespace {

using Words = std::set<std::string>;
const Words kTemperature{"degc", "degf", "tenth_degc", "k"}, kDepth{"mm", "in", "tenth_mm", "cm", "m", "ft"},
    kShare{"pct"}, kSpeed{"m_per_s", "km_per_h", "mph"}, kTime{"h", "min"};

/// Fields with the units that each may have.
const std::map<std::string, Words>& units_by_field() {
  static const std::map<std::string, Words> table{
      {"date", {}},       {"tmin", kTemperature}, {"tmax", kTemperature}, {"tmean", kTemperature},
      {"precip", kDepth}, {"snow_depth", kDepth}, {"snowfall", kDepth},   {"rh_min", kShare},
      {"rh_max", kShare}, {"wind", kSpeed},       {"sun", kTime}};
  return table;
}

std::string list(const Words& words) {
  return base::join({words.begin(), words.end()}, ", ");
}

constexpr const char* kExample =
    "For example date=DATE,tmin=TMIN:degf,tmax=TMAX:degf,precip=PRCP:in,missing=-9999";

/// The unit that a column's own name says ("tmin_f"), else none.
std::string unit_said(const std::string& field, const std::string& name) {
  for (const KnownName& known : known_names())
    if (field == known.field && base::lower(name) == known.name) return known.unit;
  return {};
}

ColumnMap::Column parse_column(const std::string& field, std::string name) {
  const Words& units = units_by_field().at(field);
  std::string unit;
  if (const auto colon = name.rfind(':'); colon != std::string::npos) {
    unit = base::lower(base::trim(name.substr(colon + 1)));
    name = std::string(base::trim(name.substr(0, colon)));
    if (!units.count(unit))
      throw Error(ErrorCode::bad_usage, "--columns: \"" + base::printable(unit) + "\" is no unit of " + field,
                  units.empty() ? "A date has none." : "Known for " + field + ": " + list(units));
  }
  if (name.empty()) throw Error(ErrorCode::bad_usage, "--columns: " + field + " names no column", kExample);
  return {name, unit.empty() ? unit_said(field, name) : unit};
}

}  // namespace

ColumnMap parse_column_map(const std::string& text) {
  ColumnMap map;
  for (const std::string& part : base::split(text, ',')) {
    const auto equals = part.find('=');
    if (equals == std::string::npos)
      throw Error(ErrorCode::bad_usage, "--columns: \"" + base::printable(part) + "\" is no FIELD=NAME",
                  kExample);
    const std::string field(base::trim(part.substr(0, equals))), name(base::trim(part.substr(equals + 1)));
    if (field == "missing") {
      map.missing.push_back(name);
      continue;
    }
    if (!units_by_field().count(field)) {
      Words known{"missing"};
      for (const auto& [word, units] : units_by_field()) known.insert(word);
      throw Error(ErrorCode::bad_usage, "--columns: unknown field \"" + base::printable(field) + "\"",
                  "Known: " + list(known));
    }
    if (!map.columns.emplace(field, parse_column(field, name)).second)
      throw Error(ErrorCode::bad_usage, "--columns: " + field + " is given twice");
  }
  if (!map.columns.count("date"))
    throw Error(ErrorCode::bad_usage, "--columns: date=NAME is missing", kExample);
  return map;
}

double to_standard(double value, const std::string& unit) {
  if (unit == "degf") return base::degc_from_degf(value);
  if (unit == "k") return value - 273.15;
  if (unit == "tenth_degc" || unit == "tenth_mm") return value / 10;
  if (unit == "in") return value * base::kMillimetresPerInch;
  if (unit == "cm") return value * 10;
  if (unit == "m") return value * 1000;
  if (unit == "ft") return value * base::kMetresPerFoot * 1000;
  if (unit == "km_per_h") return value / 3.6;
  if (unit == "mph") return value * base::kMetresPerMile / 3600;
  if (unit == "min") return value / 60;
  return value;
}

std::optional<double>* field_of(Day& day, const std::string& field) {
  if (field == "tmin") return &day.tmin_degc;
  if (field == "tmax") return &day.tmax_degc;
  if (field == "tmean") return &day.tmean_degc;
  if (field == "precip") return &day.precip_mm;
  if (field == "snow_depth") return &day.snow_depth_mm;
  if (field == "snowfall") return &day.snowfall_mm;
  if (field == "rh_min") return &day.rh_min_pct;
  if (field == "rh_max") return &day.rh_max_pct;
  if (field == "wind") return &day.wind_m_per_s;
  if (field == "sun") return &day.sun_hours;
  return nullptr;
}

const std::vector<KnownName>& known_names() {
  static const std::vector<KnownName> names{{"date", "date", ""},
                                            {"tmin", "tmin_c", "degc"},
                                            {"tmin", "tmin_degc", "degc"},
                                            {"tmin", "tmin_f", "degf"},
                                            {"tmin", "tmin_degf", "degf"},
                                            {"tmin", "tmin", "degc"},
                                            {"tmax", "tmax_c", "degc"},
                                            {"tmax", "tmax_degc", "degc"},
                                            {"tmax", "tmax_f", "degf"},
                                            {"tmax", "tmax_degf", "degf"},
                                            {"tmax", "tmax", "degc"},
                                            {"tmean", "tmean_c", "degc"},
                                            {"tmean", "tmean_degc", "degc"},
                                            {"tmean", "tavg_c", "degc"},
                                            {"tmean", "tmean_f", "degf"},
                                            {"tmean", "tmean", "degc"},
                                            {"precip", "precip_mm", "mm"},
                                            {"precip", "prcp_mm", "mm"},
                                            {"precip", "rain_mm", "mm"},
                                            {"precip", "precip_in", "in"},
                                            {"precip", "prcp_in", "in"},
                                            {"precip", "rain_in", "in"},
                                            {"snow_depth", "snow_depth_mm", "mm"},
                                            {"snow_depth", "snow_depth_cm", "cm"},
                                            {"snowfall", "snowfall_mm", "mm"},
                                            {"rh_min", "rh_min_pct", "pct"},
                                            {"rh_max", "rh_max_pct", "pct"},
                                            {"wind", "wind_m_per_s", "m_per_s"},
                                            {"sun", "sun_hours", "h"}};
  return names;
}

}  // namespace stumpwise::weather
