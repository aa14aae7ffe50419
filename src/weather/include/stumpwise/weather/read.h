#pragma once
#include <map>
#include <string>

#include "stumpwise/weather/series.h"

namespace stumpwise::weather {

/// Where a quantity stands in a file of any make: "date=NAME,tmin=NAME:degf,tmax=NAME:degf,precip=NAME:in,missing=V".
struct ColumnMap {
  struct Column {
    std::string name;
    std::string unit;  ///< degc, degf, mm, in, tenth_mm, tenth_degc, m, ft, pct, m_per_s, km_per_h, h
  };
  std::map<std::string, Column> columns;  ///< key: date tmin tmax tmean precip snow_depth snowfall rh_min rh_max wind sun
  std::vector<std::string> missing;       ///< texts that mean "no value"
};
/// Throws Error(bad_usage) naming the word that is off and the words that are known.
ColumnMap parse_column_map(const std::string& text);

/// NOAA GHCN-Daily fixed-width lines (269 characters, one a month and element): tenths of mm and degC; values with a
/// quality flag are dropped and counted in a note.
Parsed<Series> read_ghcn_dly(const std::string& path);
/// NOAA GHCN-Daily as CSV, either by-station layout (ID,DATE,ELEMENT,VALUE,M,Q,S,TIME without header, in tenths) or the
/// access layout (STATION, NAME, LATITUDE ..., DATE, PRCP, PRCP_ATTRIBUTES, ...), whose units (metric tenths, metric or
/// degF and inches) are told from the values or given by `columns`; the unit taken is said in a note.
Parsed<Series> read_ghcn_csv(const std::string& path, const ColumnMap* columns = nullptr);
/// Any delimited file by column map; without a map the names date, tmin_c, tmax_c, tmean_c, precip_mm, prcp_mm (and their kin with
/// units in the name) are known. All faults at once: Tmin > Tmax, negative rain, days that do not exist, doubles.
Parsed<Series> read_csv(const std::string& path, const ColumnMap* columns = nullptr);
/// Chooses among the three by content.
Parsed<Series> read_any(const std::string& path, const ColumnMap* columns = nullptr);

/// Fills gaps of at most `most_days` in temperature by straight line between neighbours and in precipitation by the mean
/// of the same calendar days (+-7) of other years where at least two years have them; longer gaps stay. Every gap is
/// returned, filled or not, with the method; filled days carry it too.
std::vector<Gap> fill_gaps(Series& series, int most_days = 5);

/// "TMIN/TMAX/MM TMIN/TMAX/MM ..." from `first` on. Throws Error(bad_usage).
std::vector<Day> parse_forecast_days(const std::string& text, Date first);

}  // namespace stumpwise::weather
