#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "read_private.h"
#include "stumpwise/base/text.h"
#include "stumpwise/base/units.h"

namespace stumpwise::weather {
namespace {

const std::set<std::string> kFields{"date", "tmin", "tmax", "tmean", "precip", "snow_depth", "snowfall", "rh_min", "rh_max", "wind", "sun"};
const std::set<std::string> kUnits{"degc", "degf", "tenth_degc", "mm", "in", "tenth_mm", "cm", "m", "ft", "pct", "m_per_s", "km_per_h", "mph", "h"};

std::string list(const std::set<std::string>& words) { return base::join({words.begin(), words.end()}, ", "); }

}  // namespace

ColumnMap parse_column_map(const std::string& text) {
  ColumnMap map;
  for (const std::string& part : base::split(text, ',')) {
    const auto equals = part.find('=');
    if (equals == std::string::npos)
      throw Error(ErrorCode::bad_usage, "--columns: \"" + base::printable(part) + "\" is no FIELD=NAME", "For example date=DATE,tmin=TMIN:degf,tmax=TMAX:degf,precip=PRCP:in,missing=-9999");
    const std::string field(base::trim(part.substr(0, equals)));
    std::string name(base::trim(part.substr(equals + 1))), unit;
    if (field == "missing") {
      map.missing.push_back(name);
      continue;
    }
    if (!kFields.count(field)) throw Error(ErrorCode::bad_usage, "--columns: unknown field \"" + base::printable(field) + "\"", "Known: " + list(kFields) + ", missing");
    if (const auto colon = name.rfind(':'); colon != std::string::npos) {
      unit = name.substr(colon + 1);
      name = name.substr(0, colon);
      if (!kUnits.count(unit)) throw Error(ErrorCode::bad_usage, "--columns: unknown unit \"" + base::printable(unit) + "\" of " + field, "Known: " + list(kUnits));
    }
    map.columns[field] = {name, unit};
  }
  if (!map.columns.count("date")) throw Error(ErrorCode::bad_usage, "--columns: date=NAME is missing");
  return map;
}

double to_standard(double value, const std::string& unit) {
  if (unit == "degf") return base::degc_from_degf(value);
  if (unit == "tenth_degc" || unit == "tenth_mm") return value / 10;
  if (unit == "in") return value * base::kMillimetresPerInch;
  if (unit == "cm") return value * 10;
  if (unit == "m") return value * 1000;
  if (unit == "ft") return value * base::kMetresPerFoot * 1000;
  if (unit == "km_per_h") return value / 3.6;
  if (unit == "mph") return value * base::kMetresPerMile / 3600;
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

void DayChecker::add(Day day, int line) {
  auto fault = [&](const std::string& field, const std::string& text) { issues_.push_back({Severity::fault, file_, line, field, text}); };
  auto range = [&](const std::string& field, const std::optional<double>& value, double low, double high, const char* unit) {
    if (value && (*value < low || *value > high)) fault(field, fmt::format("{:g} {}: {} to {} {}", *value, unit, low, high, unit));
  };
  for (const auto& [field, value] : {std::pair{"tmin", day.tmin_degc}, {"tmax", day.tmax_degc}, {"tmean", day.tmean_degc}}) {
    range(field, value, kLowest_degc, kHighest_degc, "°C");
    if (value) hottest_ = std::max(hottest_, *value), ++temperatures_, hot_ += *value > 45;
  }
  range("precip", day.precip_mm, 0, kMostRain_mm, "mm");
  range("rh_min", day.rh_min_pct, 0, 100, "%");
  range("rh_max", day.rh_max_pct, 0, 100, "%");
  range("wind", day.wind_m_per_s, 0, 115, "m/s");
  range("sun", day.sun_hours, 0, 24, "h");
  if (day.tmin_degc && day.tmax_degc && *day.tmin_degc > *day.tmax_degc)
    fault("tmin", fmt::format("{:g} °C is above tmax {:g} °C", *day.tmin_degc, *day.tmax_degc));
  const auto [at, fresh] = lines_.emplace(day.date, line);
  if (!fresh) {
    fault("date", base::to_text(day.date) + " stands already on line " + std::to_string(at->second));
    return;
  }
  days_.push_back(std::move(day));
}

void DayChecker::finish(Parsed<Series>& result) {
  if (temperatures_ > 0 && hot_ * 10 > temperatures_)
    issues_.insert(issues_.begin(), {Severity::fault, file_, 0, "units", fmt::format("temperatures up to {:g} °C: this looks like Fahrenheit. Say so: --columns \"date=...,tmin=NAME:degf,tmax=NAME:degf,...\"", hottest_)});
  std::sort(days_.begin(), days_.end(), [](const Day& a, const Day& b) { return a.date < b.date; });
  result.value.days = std::move(days_);
  result.issues.insert(result.issues.end(), issues_.begin(), issues_.end());
}

}  // namespace stumpwise::weather
