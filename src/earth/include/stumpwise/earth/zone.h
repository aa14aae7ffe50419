#pragma once
#include <string>

#include "stumpwise/base/date.h"

namespace stumpwise::earth {

/// True where the system's time zone database knows the name ("America/Nuuk").
bool known_zone(const std::string& zone);
/// Offset from UTC in minutes at an instant. Throws Error(not_found) for an unknown zone, with near names.
int offset_at(const std::string& zone, Instant instant);
/// The instant of a local clock time (minutes after midnight of `date`). A time that a clock change skips is
/// moved forward by the gap; one that occurs twice is taken as the earlier.
Instant local_instant(const std::string& zone, Date date, int clock_min);
/// "2026-05-12T08:30:00-01:00".
std::string local_text(const std::string& zone, Instant instant);
/// "08:30".
std::string local_clock(const std::string& zone, Instant instant);
/// The local calendar day of an instant.
Date local_date(const std::string& zone, Instant instant);

}  // namespace stumpwise::earth
