#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/date.h"

namespace stumpwise::records {

struct TrackPoint {
  LatLon place;
  std::optional<Instant> time;
  std::optional<double> elevation_m;
  int segment = 0;  ///< a pause or a lost signal begins a new one: no line joins two segments
  bool operator==(const TrackPoint&) const = default;
};

struct Find {
  std::int64_t id = 0;
  std::int64_t outing = 0;       ///< 0: belongs to none
  std::string species;           ///< profile id
  std::string name_as_recorded;  ///< the name it was made under; never changed
  Date date;
  std::optional<LatLon> place;  ///< nothing: unplaced
  double accuracy_m = 10;
  int pieces = 1;
  std::string host_genus, host_told_by, substrate, note;
  std::optional<double> cap_mm;
  bool operator==(const Find&) const = default;
};

struct Outing {
  std::int64_t id = 0;
  std::string ground;
  Date date;
  std::string start_clock;               ///< "09:30", may be empty
  double minutes = 0;                    ///< in the field
  std::optional<double> search_minutes;  ///< of these, searching (where there is no track)
  int people = 1;
  std::string observer;              ///< who looked
  std::vector<std::string> targets;  ///< species looked for, profile ids
  std::vector<TrackPoint> track;
  std::vector<Find> finds;
  std::string note;
  bool invented = false;  ///< made by the demo
  bool operator==(const Outing&) const = default;
};

/// A tree, log or stump whose host is known, from the user's own records.
struct HostRecord {
  std::int64_t id = 0;
  std::string ground, genus;
  LatLon place;
  std::string state;  ///< living, dead, log, stump
  std::optional<int> year_died;
  double radius_m = 12;  ///< of the crown or stand it stands for
  std::string told_by;   ///< leaf, bark, bud, wood
  bool operator==(const HostRecord&) const = default;
};

struct ForecastDayRecord {
  Date issued, date;
  std::optional<double> tmin_degc, tmax_degc, precip_mm;
  bool operator==(const ForecastDayRecord&) const = default;
};

/// A note typed in ten seconds.
struct WeatherNote {
  Date date;
  std::optional<double> rain_mm, tmin_degc, tmax_degc, soil_degc;
  bool operator==(const WeatherNote&) const = default;
};

/// What the user noted of a piece of land.
struct AccessArea {
  std::string ground, name;
  std::string kind;  ///< open, permission, closed, reserve
  std::optional<Date> expires, checked;
  std::string note;
  std::vector<std::vector<LatLon>> rings;  ///< outer, holes
  bool operator==(const AccessArea&) const = default;
};
struct HistoryArea {
  std::string ground, name;
  std::string kind;  ///< burn, sprayed_orchard, mine, cut, treated_verge, fallout
  std::optional<int> year_from, year_to;
  std::string note;
  std::vector<std::vector<LatLon>> rings;
  bool operator==(const HistoryArea&) const = default;
};

struct GroundRecord {
  std::string name;  ///< key
  std::string title;
  std::string region;  ///< "EU+NA-E"
  std::string zone;    ///< "America/Nuuk"
  double cell_m = 10;
  int epsg = 0;
  double left_m = 0, top_m = 0;
  int cols = 0, rows = 0;
  std::string legend;     ///< file name in legends/ or inside NAME.files
  bool invented = false;  ///< the demo's
  bool operator==(const GroundRecord&) const = default;
};

/// No finds at all: a blank outing, which is data.
bool is_blank(const Outing& outing);
/// `species` was looked for on this outing (a find of what was not looked for says nothing of how often it is
/// missed).
bool looked_for(const Outing& outing, const std::string& species);
/// Fruitings of `species` found, placed or not.
int count_finds(const Outing& outing, const std::string& species);

}  // namespace stumpwise::records
