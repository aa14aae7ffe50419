#include "stumpwise/earth/zone.h"

#include <date/tz.h>
#include <fmt/format.h>

#include "stumpwise/base/error.h"
#include "stumpwise/base/text.h"

namespace stumpwise::earth {
namespace {

const date::time_zone* find_zone(const std::string& zone) {
  try {
    return date::locate_zone(zone);
  } catch (const std::exception&) {
    return nullptr;
  }
}

const date::time_zone& require_zone(const std::string& zone) {
  if (const date::time_zone* found = find_zone(zone)) return *found;
  std::vector<std::string> names;
  for (const date::time_zone& each : date::get_tzdb().zones) names.push_back(each.name());
  const auto near = base::nearest(zone, names, 3);
  throw Error(ErrorCode::not_found,
              fmt::format("time zone \"{}\" is not in the system's time zone database", zone),
              near.empty() ? "Write it as Area/Place, for example Europe/Berlin."
                           : "Near names: " + base::join(near, ", "));
}

date::sys_seconds to_library(Instant instant) {
  return date::sys_seconds{instant.time_since_epoch()};
}

}  // namespace

bool known_zone(const std::string& zone) {
  return find_zone(zone) != nullptr;
}

int offset_at(const std::string& zone, Instant instant) {
  const auto info = require_zone(zone).get_info(to_library(instant));
  return static_cast<int>(info.offset.count() / 60);
}

Instant local_instant(const std::string& zone, Date date, int clock_min) {
  const date::local_seconds local{date.time_since_epoch() + std::chrono::minutes{clock_min}};
  const auto info = require_zone(zone).get_info(local);
  // Skipped: the offset before the gap carries the clock forward by its length. Twice: the first is the
  // earlier.
  return Instant{local.time_since_epoch() - info.first.offset};
}

std::string local_text(const std::string& zone, Instant instant) {
  return base::to_text_offset(instant, offset_at(zone, instant));
}

std::string local_clock(const std::string& zone, Instant instant) {
  return local_text(zone, instant).substr(11, 5);
}

Date local_date(const std::string& zone, Instant instant) {
  return std::chrono::floor<std::chrono::days>(instant + std::chrono::minutes{offset_at(zone, instant)});
}

}  // namespace stumpwise::earth
