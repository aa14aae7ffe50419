#include <cmath>
#include <limits>

#include "bytes.h"
#include "geometry.h"

namespace stumpwise::book {
namespace {

constexpr std::string_view kMagic = "SWT1";
constexpr std::int64_t kNoTime = std::numeric_limits<std::int64_t>::min();
constexpr std::size_t kPointBytes = 36;

}  // namespace

std::string pack_track(const std::vector<records::TrackPoint>& track) {
  std::string bytes(kMagic);
  bytes.reserve(8 + track.size() * kPointBytes);
  put_little(bytes, static_cast<std::uint32_t>(track.size()));
  for (const records::TrackPoint& point : track) {
    require_place(point.place, "track");
    put_little(bytes, point.place.lat_deg);
    put_little(bytes, point.place.lon_deg);
    put_little(bytes, point.elevation_m.value_or(std::numeric_limits<double>::quiet_NaN()));
    put_little(bytes,
               point.time ? static_cast<std::int64_t>(point.time->time_since_epoch().count()) : kNoTime);
    put_little(bytes, static_cast<std::int32_t>(point.segment));
  }
  return bytes;
}

std::vector<records::TrackPoint> unpack_track(const std::string& bytes) {
  if (bytes.compare(0, kMagic.size(), kMagic) != 0)
    throw Error(ErrorCode::bad_format, "a track in the book is of a format that is not known");
  ByteReader reader(bytes.data() + kMagic.size(), bytes.size() - kMagic.size());
  const auto n = reader.take<std::uint32_t>();
  if (reader.left() != n * kPointBytes)
    throw Error(ErrorCode::bad_format, "a track in the book ends too early");
  std::vector<records::TrackPoint> track(n);
  for (records::TrackPoint& point : track) {
    point.place.lat_deg = reader.take<double>();
    point.place.lon_deg = reader.take<double>();
    const double elevation_m = reader.take<double>();
    if (!std::isnan(elevation_m)) point.elevation_m = elevation_m;
    const auto time_s = reader.take<std::int64_t>();
    if (time_s != kNoTime) point.time = Instant{std::chrono::seconds{time_s}};
    point.segment = reader.take<std::int32_t>();
  }
  return track;
}

}  // namespace stumpwise::book
