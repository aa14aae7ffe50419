#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/records/records.h"

namespace stumpwise::exchange {

struct GpxPoint {
  LatLon place;
  std::optional<double> elevation_m;  ///< above mean sea level
  std::optional<Instant> time;
  std::string name, comment, description, symbol;
};
struct GpxRoute {
  std::string name, comment;
  std::vector<GpxPoint> points;
};
struct GpxTrack {
  std::string name;
  std::vector<std::vector<GpxPoint>> segments;
};
struct Gpx {
  std::string name, description;
  std::vector<GpxPoint> waypoints;
  std::vector<GpxRoute> routes;
  std::vector<GpxTrack> tracks;
};

/// GPX 1.1 text (Topografix schema GPX/1/1): element order, attribute ranges and namespace as the schema
/// asks. Degrees with 7 decimals (1 cm), metres with 2, times in UTC. Longitude 180 is written as -180, since
/// the schema's range ends below 180. Characters that XML 1.0 cannot hold are dropped. Throws
/// Error(bad_value) for a place or height that is no number or a latitude or longitude out of range.
std::string write_gpx(const Gpx& gpx);

/// Reads GPX 1.0 and 1.1 by pugixml. Faults, each with its line: broken XML, a root that is not gpx, a
/// version or namespace that is neither, latitude or longitude missing or out of range, an elevation that is
/// no number, a time that is none; a point at fault is left out. Warnings: elements unknown or out of the
/// schema's order (once for each kind), a time without zone (taken as UTC, which is what GPX means), time
/// that runs backwards, a document type declaration (never followed: no entity of it is expanded), a file
/// without points. At most 1000 issues are listed, the rest counted in the last.
Parsed<Gpx> read_gpx(const std::string& text, const std::string& file);

/// Track points of all tracks in order, with segment numbers.
std::vector<records::TrackPoint> track_points(const Gpx& gpx);

}  // namespace stumpwise::exchange
