#include "geometry.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "bytes.h"

namespace stumpwise::book {
namespace {

constexpr std::uint32_t kPoint = 1, kLineString = 2, kPolygon = 3, kMultiLineString = 5;
constexpr std::uint8_t kLittleEndian = 1, kEnvelopeXy = 1 << 1;
constexpr int kSrid = 4326;

void put_corner(std::string& to, const LatLon& place) {
  put_little(to, place.lon_deg);  // GeoPackage: x is longitude, whatever the axis order of EPSG:4326
  put_little(to, place.lat_deg);
}

std::string header(const std::vector<const LatLon*>& corners, bool envelope) {
  std::string blob = "GP";
  put_little(blob, std::uint8_t{0});
  put_little(blob, static_cast<std::uint8_t>(kLittleEndian | (envelope ? kEnvelopeXy : 0)));
  put_little(blob, std::int32_t{kSrid});
  if (!envelope) return blob;
  const double infinite = std::numeric_limits<double>::infinity();
  Bounds b{infinite, -infinite, infinite, -infinite};
  for (const LatLon* corner : corners) {
    b = {std::min(b.min_x, corner->lon_deg), std::max(b.max_x, corner->lon_deg),
         std::min(b.min_y, corner->lat_deg), std::max(b.max_y, corner->lat_deg)};
  }
  for (double value : {b.min_x, b.max_x, b.min_y, b.max_y}) put_little(blob, value);
  return blob;
}

void put_type(std::string& to, std::uint32_t type) {
  put_little(to, std::uint8_t{1});
  put_little(to, type);
}

std::uint32_t count(std::size_t n) {
  return static_cast<std::uint32_t>(n);
}

/// The header of a blob: sets the byte order and steps over the envelope. Nothing where it is no such blob.
struct Head {
  bool empty = false;
  std::optional<Bounds> envelope;
};

std::optional<Head> take_head(ByteReader& reader) {
  constexpr std::array<int, 5> kEnvelopeDoubles{0, 4, 6, 6, 8};
  if (reader.left() < 8 || reader.take<char>() != 'G' || reader.take<char>() != 'P') return std::nullopt;
  reader.take<std::uint8_t>();  // version
  const auto flags = reader.take<std::uint8_t>();
  const unsigned kind = (flags >> 1) & 7u;
  if (kind >= kEnvelopeDoubles.size()) return std::nullopt;
  reader.set_little((flags & 1u) != 0);
  reader.take<std::int32_t>();
  Head head;
  head.empty = (flags & 0x10u) != 0;
  std::array<double, 8> values{};
  for (int i = 0; i < kEnvelopeDoubles[kind]; ++i)
    values[static_cast<std::size_t>(i)] = reader.take<double>();
  if (kind != 0) head.envelope = Bounds{values[0], values[1], values[2], values[3]};
  return head;
}

std::uint32_t take_type(ByteReader& reader) {
  reader.set_little(reader.take<std::uint8_t>() == 1);
  return reader.take<std::uint32_t>();
}

/// Grows `to` by every coordinate of a well-known-binary geometry of any simple type and dimension.
void grow(ByteReader& reader, Bounds& to, int depth) {
  if (depth > 8) throw Error(ErrorCode::bad_format, "a geometry in the book is nested too deep");
  const std::uint32_t type = take_type(reader);
  const std::uint32_t kind = type % 1000, dimension = type / 1000;
  const int extra = dimension == 0 ? 0 : dimension == 3 ? 2 : 1;
  auto corner = [&] {
    const double x = reader.take<double>(), y = reader.take<double>();
    for (int i = 0; i < extra; ++i) reader.take<double>();
    if (std::isnan(x) || std::isnan(y)) return;  // an empty point
    to = {std::min(to.min_x, x), std::max(to.max_x, x), std::min(to.min_y, y), std::max(to.max_y, y)};
  };
  auto corners = [&] {
    for (auto n = reader.take<std::uint32_t>(); n > 0; --n) corner();
  };
  switch (kind) {
    case 1:
      corner();
      break;
    case 2:
      corners();
      break;
    case 3:
      for (auto n = reader.take<std::uint32_t>(); n > 0; --n) corners();
      break;
    case 4:
    case 5:
    case 6:
    case 7:
      for (auto n = reader.take<std::uint32_t>(); n > 0; --n) grow(reader, to, depth + 1);
      break;
    default:
      throw Error(ErrorCode::bad_format, "a geometry in the book has a type that is not known");
  }
}

ByteReader body_of(const std::string& blob, std::uint32_t wanted, const char* name) {
  ByteReader reader(blob.data(), blob.size());
  if (!take_head(reader) || take_type(reader) != wanted)
    throw Error(ErrorCode::bad_format, fmt::format("a geometry in the book is no {}", name));
  return reader;
}

}  // namespace

void require_place(const LatLon& place, const char* of) {
  if (!valid(place))  // false for NaN as well
    throw Error(ErrorCode::bad_value,
                fmt::format("{}: {},{} is no place: latitude -90 to 90, longitude -180 to 180", of,
                            place.lat_deg, place.lon_deg));
}

std::string point_blob(const LatLon& place) {
  std::string blob = header({}, false);
  put_type(blob, kPoint);
  put_corner(blob, place);
  return blob;
}

std::optional<std::string> track_blob(const std::vector<records::TrackPoint>& track) {
  std::vector<std::vector<const LatLon*>> lines;
  for (std::size_t i = 0; i < track.size(); ++i) {
    if (i == 0 || track[i].segment != track[i - 1].segment) lines.emplace_back();
    lines.back().push_back(&track[i].place);
  }
  lines.erase(std::remove_if(lines.begin(), lines.end(), [](const auto& line) { return line.size() < 2; }),
              lines.end());
  if (lines.empty()) return std::nullopt;
  std::vector<const LatLon*> all;
  for (const auto& line : lines) all.insert(all.end(), line.begin(), line.end());
  std::string blob = header(all, true);
  put_type(blob, kMultiLineString);
  put_little(blob, count(lines.size()));
  for (const auto& line : lines) {
    put_type(blob, kLineString);
    put_little(blob, count(line.size()));
    for (const LatLon* place : line) put_corner(blob, *place);
  }
  return blob;
}

std::optional<std::string> polygon_blob(const std::vector<std::vector<LatLon>>& rings) {
  if (rings.empty()) return std::nullopt;
  std::vector<const LatLon*> all;
  for (const auto& ring : rings) {
    const bool closed = ring.size() > 1 && ring.front() == ring.back();
    if (ring.size() < (closed ? 4u : 3u))
      throw Error(ErrorCode::bad_value,
                  fmt::format("an outline of {} points: at least three corners are needed", ring.size()));
    for (const LatLon& corner : ring) all.push_back(&corner);
  }
  std::string blob = header(all, true);
  put_type(blob, kPolygon);
  put_little(blob, count(rings.size()));
  for (const auto& ring : rings) {
    const bool closed = ring.front() == ring.back();
    put_little(blob, count(ring.size() + (closed ? 0 : 1)));
    for (const LatLon& corner : ring) put_corner(blob, corner);
    if (!closed) put_corner(blob, ring.front());
  }
  return blob;
}

LatLon read_point(const std::string& blob) {
  ByteReader reader = body_of(blob, kPoint, "point");
  const double lon_deg = reader.take<double>(), lat_deg = reader.take<double>();
  return {.lat_deg = lat_deg, .lon_deg = lon_deg};
}

std::vector<std::vector<LatLon>> read_polygon(const std::string& blob) {
  ByteReader reader = body_of(blob, kPolygon, "polygon");
  std::vector<std::vector<LatLon>> rings;
  for (auto n = reader.take<std::uint32_t>(); n > 0; --n) {
    rings.emplace_back();
    for (auto corners = reader.take<std::uint32_t>(); corners > 0; --corners) {
      const double lon_deg = reader.take<double>(), lat_deg = reader.take<double>();
      rings.back().push_back({.lat_deg = lat_deg, .lon_deg = lon_deg});
    }
  }
  return rings;
}

std::optional<Bounds> blob_bounds(const void* bytes, std::size_t size) {
  try {
    ByteReader reader(bytes, size);
    const auto head = take_head(reader);
    if (!head || head->empty) return std::nullopt;
    if (head->envelope) return head->envelope;
    const double infinite = std::numeric_limits<double>::infinity();
    Bounds bounds{infinite, -infinite, infinite, -infinite};
    grow(reader, bounds, 0);
    if (bounds.min_x > bounds.max_x) return std::nullopt;
    return bounds;
  } catch (const Error&) {
    return std::nullopt;  // a broken blob has no bounds; whoever reads it as a geometry is told
  }
}

}  // namespace stumpwise::book
