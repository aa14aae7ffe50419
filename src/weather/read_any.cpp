#include <fmt/format.h>

#include <algorithm>

#include "read_private.h"
#include "stumpwise/base/text.h"

namespace stumpwise::weather {
namespace {

enum class Layout { dly, ghcn_csv, csv };

/// Station ids of GHCN have 11 characters and begin with a country of two letters.
bool is_ghcn_id(std::string_view word) {
  auto letter = [](char c) { return c >= 'A' && c <= 'Z'; };
  return word.size() == 11 && letter(word[0]) && letter(word[1]) &&
         std::all_of(word.begin(), word.end(),
                     [&](char c) { return letter(c) || (c >= '0' && c <= '9') || c == '-' || c == '_'; });
}

Layout layout_of(std::string_view text) {
  const std::string_view first = base::trim(text.substr(0, text.find('\n')));
  // A line of an archive's file that was cut off must not be taken for a table: the first 21 characters tell.
  if (first.size() >= 21 && is_ghcn_id(first.substr(0, 11)) && base::parse_integer(first.substr(11, 6)) &&
      first.find(',') == std::string_view::npos)
    return Layout::dly;
  const auto cells = base::split(first, ',');
  if (is_ghcn_id(cells[0])) return Layout::ghcn_csv;
  if (cells.size() > 3 && base::lower(cells[0]) == "id" && base::lower(cells[2]) == "element")
    return Layout::ghcn_csv;
  auto has = [&](std::string_view name) {
    return std::any_of(cells.begin(), cells.end(), [&](const std::string& cell) {
      return cell == name || cell == "\"" + std::string(name) + "\"";
    });
  };
  return has("STATION") && has("DATE") && (has("PRCP") || has("TMAX") || has("TMIN")) ? Layout::ghcn_csv
                                                                                      : Layout::csv;
}

}  // namespace

Parsed<Series> read_any(const std::string& path, const ColumnMap* columns) {
  const std::string text = read_weather_file(path);
  if (columns) return csv_from_text(text, path, columns);
  switch (layout_of(text)) {
    case Layout::dly:
      return dly_from_text(text, path);
    case Layout::ghcn_csv:
      return ghcn_csv_from_text(text, path);
    case Layout::csv:
      break;
  }
  return csv_from_text(text, path, nullptr);
}

std::vector<Day> parse_forecast_days(const std::string& text, Date first) {
  constexpr std::size_t kMostDays = 30;
  constexpr const char* kExample = "For example --days \"4/15/0 6/17/8\": two days from tomorrow.";
  std::string words = text;
  std::replace_if(
      words.begin(), words.end(), [](char c) { return c == '\t' || c == '\n' || c == '\r'; }, ' ');
  std::vector<Day> days;
  for (const std::string& word : base::split(words, ' ')) {
    if (word.empty()) continue;
    std::vector<double> numbers;
    const auto parts = base::split(word, '/');
    for (const auto& part : parts)
      if (const auto number = base::parse_number(part)) numbers.push_back(*number);
    if (parts.size() != 3 || numbers.size() != 3)
      throw Error(ErrorCode::bad_usage, "forecast day \"" + base::printable(word) + "\" is no TMIN/TMAX/MM",
                  kExample);
    if (numbers[0] < kLowest_degc || numbers[1] > kHighest_degc || numbers[0] > numbers[1] ||
        numbers[2] < 0 || numbers[2] > kMostRain_mm)
      throw Error(ErrorCode::bad_usage,
                  fmt::format("forecast day \"{}\": TMIN at most TMAX, {:g} to {:g} °C, rain 0 to {:g} mm",
                              base::printable(word), kLowest_degc, kHighest_degc, kMostRain_mm));
    Day day;
    day.date = base::plus_days(first, static_cast<int>(days.size()));
    day.tmin_degc = numbers[0];
    day.tmax_degc = numbers[1];
    day.precip_mm = numbers[2];
    days.push_back(day);
  }
  if (days.empty()) throw Error(ErrorCode::bad_usage, "the forecast holds no day", kExample);
  if (days.size() > kMostDays)
    throw Error(ErrorCode::bad_usage,
                fmt::format("a forecast of {} days: at most {}", days.size(), kMostDays));
  return days;
}

}  // namespace stumpwise::weather
