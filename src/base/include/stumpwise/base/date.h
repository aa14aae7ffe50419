#pragma once
#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace stumpwise::base {

/// A calendar day without a time zone. Difference and addition in whole days.
using Date = std::chrono::sys_days;
/// An instant in UTC to the second.
using Instant = std::chrono::sys_seconds;

/// "2026-05-12" (ISO 8601) to a day; nothing where the text is no existing day (2026-02-31).
std::optional<Date> parse_date(std::string_view text);
/// As parse_date, but throws Error(bad_usage) naming `field`.
Date require_date(std::string_view text, std::string_view field);
std::string to_text(Date date);

Date make_date(int year, unsigned month, unsigned day);
int year_of(Date date);
unsigned month_of(Date date);
unsigned day_of_month(Date date);
/// 1 to 366.
int day_of_year(Date date);
inline Date plus_days(Date date, int days) {
  return date + std::chrono::days{days};
}
inline int days_between(Date from, Date to) {
  return static_cast<int>((to - from).count());
}

/// "08:30" or "8:30" to minutes after midnight, 0 to 1439; nothing where it is no clock time.
std::optional<int> parse_clock_min(std::string_view text);

/// ISO 8601 instant with offset or Z ("2026-05-12T08:30:00-01:00") to UTC; nothing where it is none.
std::optional<Instant> parse_instant(std::string_view text);
/// "2026-05-12T09:30:00Z".
std::string to_text_utc(Instant instant);
/// "2026-05-12T08:30:00-01:00" with the given offset from UTC in minutes.
std::string to_text_offset(Instant instant, int offset_min);

}  // namespace stumpwise::base

namespace stumpwise {
using base::Date;
using base::Instant;
}  // namespace stumpwise
