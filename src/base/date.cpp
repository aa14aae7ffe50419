#include "stumpwise/base/date.h"

#include <fmt/format.h>

#include "stumpwise/base/error.h"

namespace stumpwise::base {
namespace {

using namespace std::chrono;

std::optional<int> digits(std::string_view text) {
  if (text.empty()) return std::nullopt;
  int value = 0;
  for (char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + (c - '0');
  }
  return value;
}

/// Offset of "Z", "+02:00", "-0130", "+02" in minutes.
std::optional<int> parse_offset_min(std::string_view text) {
  if (text == "Z" || text == "z") return 0;
  if (text.size() < 3 || (text[0] != '+' && text[0] != '-')) return std::nullopt;
  const auto hours = digits(text.substr(1, 2));
  std::string_view rest = text.substr(3);
  if (!rest.empty() && rest[0] == ':') rest.remove_prefix(1);
  const auto minutes = rest.empty() ? std::optional<int>(0) : digits(rest);
  if (!hours || !minutes || *hours > 15 || *minutes > 59) return std::nullopt;
  const int total = *hours * 60 + *minutes;
  return text[0] == '-' ? -total : total;
}

}  // namespace

std::optional<Date> parse_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto y = digits(text.substr(0, 4));
  const auto m = digits(text.substr(5, 2));
  const auto d = digits(text.substr(8, 2));
  if (!y || !m || !d) return std::nullopt;
  const year_month_day ymd{year{*y}, month{static_cast<unsigned>(*m)}, day{static_cast<unsigned>(*d)}};
  if (!ymd.ok()) return std::nullopt;
  return sys_days{ymd};
}

Date require_date(std::string_view text, std::string_view field) {
  if (const auto date = parse_date(text)) return *date;
  throw Error(ErrorCode::bad_usage, fmt::format("{}: \"{}\" is no day of the calendar", field, text),
              "Write it as YYYY-MM-DD, for example 2026-05-12.");
}

std::string to_text(Date date) {
  const year_month_day ymd{date};
  return fmt::format("{:04d}-{:02d}-{:02d}", static_cast<int>(ymd.year()), static_cast<unsigned>(ymd.month()),
                     static_cast<unsigned>(ymd.day()));
}

Date make_date(int y, unsigned m, unsigned d) {
  return sys_days{year{y} / month{m} / day{d}};
}
int year_of(Date date) {
  return static_cast<int>(year_month_day{date}.year());
}
unsigned month_of(Date date) {
  return static_cast<unsigned>(year_month_day{date}.month());
}
unsigned day_of_month(Date date) {
  return static_cast<unsigned>(year_month_day{date}.day());
}
int day_of_year(Date date) {
  return days_between(make_date(year_of(date), 1, 1), date) + 1;
}

std::optional<int> parse_clock_min(std::string_view text) {
  const auto colon = text.find(':');
  if (colon == std::string_view::npos || colon == 0 || colon > 2 || text.size() - colon != 3)
    return std::nullopt;
  const auto hours = digits(text.substr(0, colon));
  const auto minutes = digits(text.substr(colon + 1));
  if (!hours || !minutes || *hours > 23 || *minutes > 59) return std::nullopt;
  return *hours * 60 + *minutes;
}

std::optional<Instant> parse_instant(std::string_view text) {
  if (text.size() < 17 || (text[10] != 'T' && text[10] != ' ')) return std::nullopt;
  const auto date = parse_date(text.substr(0, 10));
  const auto clock = parse_clock_min(text.substr(11, 5));
  if (!date || !clock) return std::nullopt;
  std::string_view rest = text.substr(16);
  int seconds_of_minute = 0;
  if (rest[0] == ':') {
    const auto s = digits(rest.substr(1, 2));
    if (!s || *s > 60 || rest.size() < 3) return std::nullopt;
    seconds_of_minute = *s;
    rest.remove_prefix(3);
    if (!rest.empty() && rest[0] == '.') {
      const auto end = rest.find_first_not_of("0123456789", 1);
      if (end == std::string_view::npos) return std::nullopt;
      rest.remove_prefix(end);
    }
  }
  const auto offset = parse_offset_min(rest);
  if (!offset) return std::nullopt;
  return Instant{*date} + minutes{*clock - *offset} + seconds{seconds_of_minute};
}

std::string to_text_utc(Instant instant) {
  std::string text = to_text_offset(instant, 0);
  return text.substr(0, text.size() - 6) + "Z";
}

std::string to_text_offset(Instant instant, int offset_min) {
  const Instant local = instant + minutes{offset_min};
  const Date date = floor<days>(local);
  const hh_mm_ss clock{local - date};
  const int magnitude = offset_min < 0 ? -offset_min : offset_min;
  return fmt::format("{}T{:02d}:{:02d}:{:02d}{}{:02d}:{:02d}", to_text(date), clock.hours().count(),
                     clock.minutes().count(), clock.seconds().count(), offset_min < 0 ? '-' : '+',
                     magnitude / 60, magnitude % 60);
}

}  // namespace stumpwise::base
