#pragma once
#include <map>
#include <string>

#include "stumpwise/weather/series.h"

namespace stumpwise::weather {

/// Where a quantity stands in a file of any make:
/// "date=NAME,tmin=NAME:degf,tmax=NAME:degf,precip=NAME:in,missing=V". Without a unit the one that the name
/// says (tmin_f), else degC, mm, m/s, h, per cent.
struct ColumnMap {
  struct Column {
    std::string name;
    std::string
        unit;  ///< degc degf tenth_degc k; mm in tenth_mm cm m ft; pct; m_per_s km_per_h mph (at 2 m); h min
  };
  std::map<std::string, Column>
      columns;  ///< key: date tmin tmax tmean precip snow_depth snowfall rh_min rh_max wind sun
  std::vector<std::string> missing;  ///< texts that mean "no value"
};
/// Throws Error(bad_usage) naming the word that is off and the words that are known.
ColumnMap parse_column_map(const std::string& text);

/// The readers below throw Error(unreadable) for a file that cannot be opened or is larger than 64 MB;
/// everything wrong inside is in `issues`, all at once, with file, line and field: values outside the limits
/// of series.h, tmin above tmax, a mean outside its extremes, days that do not exist, days given twice, years
/// outside 1700 to 2200, values that betray another unit (a tenth of all temperatures above 45: the unit to
/// give is named). A year with under 100 mm or over 9000 mm is a warning.

/// NOAA GHCN-Daily fixed-width lines (269 characters, one a month and element): tenths of mm and degC; values
/// with a quality flag and temperatures that contradict each other are left out, each counted in a note;
/// traces count as 0. Read are PRCP, TMAX, TMIN, TAVG, SNWD, SNOW. Place and height of the station are not in
/// the file.
Parsed<Series> read_ghcn_dly(const std::string& path);
/// NOAA GHCN-Daily as CSV, either by-station layout (ID,DATE,ELEMENT,VALUE,M,Q,S,TIME with or without header,
/// in tenths) or the access layout (STATION, NAME, LATITUDE ..., DATE, PRCP, PRCP_ATTRIBUTES, ...), whose
/// units (tenths, degC and mm, or degF and inches) are told from the values or given by `columns`; the unit
/// taken is said in a note; a fault where the values do not tell.
Parsed<Series> read_ghcn_csv(const std::string& path, const ColumnMap* columns = nullptr);
/// Any delimited file by column map; without a map the names date, tmin_c, tmax_c, tmean_c, precip_mm,
/// prcp_mm (and their kin with units in the name) are known. Needs a date, tmean or both extremes, and
/// precipitation. Empty, NA, NaN, null, -9999 and the map's own words are "no value"; T is a trace. Dates as
/// 2026-05-12 or 20260512.
Parsed<Series> read_csv(const std::string& path, const ColumnMap* columns = nullptr);
/// Chooses among the three by content; a map always means read_csv.
Parsed<Series> read_any(const std::string& path, const ColumnMap* columns = nullptr);

/// Fills gaps of at most `most_days` in temperature by straight line between neighbours and in precipitation
/// by the mean of the same calendar days (+-7) of other years where at least two years have them; longer gaps
/// stay. Every gap is returned in order of date, filled or not, with the method or why not; filled days carry
/// it too. Afterwards the series has every day between its first and its last, those left open without
/// values. Temperature at either end has no neighbour and stays open.
std::vector<Gap> fill_gaps(Series& series, int most_days = 5);

/// "TMIN/TMAX/MM TMIN/TMAX/MM ..." from `first` on. Throws Error(bad_usage).
std::vector<Day> parse_forecast_days(const std::string& text, Date first);

}  // namespace stumpwise::weather
