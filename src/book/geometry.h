#pragma once
// Private to book: geometry blobs of GeoPackage 1.3 (OGC 12-128r17, clause 2.1.3) in EPSG:4326, and the blob
// of a track.
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/records/records.h"

namespace stumpwise::book {

/// Blobs are bytes in a std::string.
std::string point_blob(const LatLon& place);
/// Each segment of two points or more as a line; nothing where there is none.
std::optional<std::string> track_blob(const std::vector<records::TrackPoint>& track);
/// Rings are closed where they are not. Nothing for no ring; Error(bad_value) for a ring of fewer than three
/// corners.
std::optional<std::string> polygon_blob(const std::vector<std::vector<LatLon>>& rings);

/// Error(bad_format) where the blob is no such geometry.
LatLon read_point(const std::string& blob);
std::vector<std::vector<LatLon>> read_polygon(const std::string& blob);

struct Bounds {
  double min_x, max_x, min_y, max_y;
};
/// Of any geometry blob, by its envelope or its coordinates, in either byte order; nothing for an empty or
/// broken one.
std::optional<Bounds> blob_bounds(const void* bytes, std::size_t size);

/// The track as it was recorded, every double and second of it (docs/book-format.md, "Track points").
std::string pack_track(const std::vector<records::TrackPoint>& track);
std::vector<records::TrackPoint> unpack_track(const std::string& bytes);

/// Error(bad_value) naming the place where it is off the globe or not finite.
void require_place(const LatLon& place, const char* of);

}  // namespace stumpwise::book
