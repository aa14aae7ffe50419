#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/records/records.h"

namespace stumpwise::exchange {

struct GpxPoint { LatLon place; std::optional<double> elevation_m; std::optional<Instant> time; std::string name, comment, description, symbol; };
struct GpxRoute { std::string name, comment; std::vector<GpxPoint> points; };
struct GpxTrack { std::string name; std::vector<std::vector<GpxPoint>> segments; };
struct Gpx { std::string name, description; std::vector<GpxPoint> waypoints; std::vector<GpxRoute> routes; std::vector<GpxTrack> tracks; };

/// GPX 1.1 text (Topografix schema 1/1): element order, attribute ranges and namespace as the schema asks. 7 decimals.
std::string write_gpx(const Gpx& gpx);
/// Reads GPX 1.0 and 1.1 by pugixml; every fault with its line (broken XML, latitude out of range, time that is none). No
/// external entities are followed.
Parsed<Gpx> read_gpx(const std::string& text, const std::string& file);
/// Track points of all tracks in order, with segment numbers.
std::vector<records::TrackPoint> track_points(const Gpx& gpx);

}  // namespace stumpwise::exchange
