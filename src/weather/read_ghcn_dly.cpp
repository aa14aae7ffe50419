#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "read_private.h"
#include "stumpwise/base/text.h"

namespace stumpwise::weather {
namespace {

constexpr std::array kElements{Element{"PRCP", "precip", "tenth_mm"}, Element{"TMAX", "tmax", "tenth_degc"},
                               Element{"TMIN", "tmin", "tenth_degc"}, Element{"TAVG", "tmean", "tenth_degc"},
                               Element{"SNWD", "snow_depth", "mm"},   Element{"SNOW", "snowfall", "mm"}};
constexpr int kMissing = -9999;
/// Up to the value of day 31: an editor may have cut the blanks behind it.
constexpr std::size_t kShortestLine = 266, kLine = 269;

void read_line(std::string row, int line, Gathered& gathered) {
  auto fault = [&](const char* field, const std::string& text) {
    gathered.checker().fault(line, field, text);
  };
  if (row.size() < kShortestLine)
    return fault(
        "", fmt::format(
                "a line of {} characters where {} are needed: the file is cut off or is no GHCN-Daily file",
                row.size(), kLine));
  row.resize(std::max(row.size(), kLine), ' ');
  const auto year = base::parse_integer(row.substr(11, 4)), month = base::parse_integer(row.substr(15, 2));
  if (!year || !month || *year < 0 || *month < 1 || *month > 12)
    return fault("date", "\"" + base::printable(row.substr(11, 6)) + "\" is no year and month");
  gathered.station(row.substr(0, 11), line);
  const Element* element = element_of(row.substr(17, 4));
  if (!element) return;
  for (int d = 1; d <= 31; ++d) {
    const std::string cell = row.substr(21 + static_cast<std::size_t>(d - 1) * 8, 8);
    const auto value = base::parse_integer(cell.substr(0, 5));
    if (!value) {
      fault(element->name,
            fmt::format("\"{}\" of day {} is no number", base::printable(cell.substr(0, 5)), d));
      continue;
    }
    if (*value == kMissing) continue;
    const std::string day = fmt::format("{:04d}-{:02d}-{:02d}", *year, *month, d);
    if (const auto date = base::parse_date(day))
      gathered.put(*date, line, *element, *value, element->unit, cell[5], cell[6]);
    else
      fault("date", day + " is no day of the calendar, yet has a value");
  }
}

}  // namespace

const Element* element_of(std::string_view name) {
  for (const Element& element : kElements)
    if (name == element.name) return &element;
  return nullptr;
}

void Gathered::station(const std::string& id, int line) {
  if (station_.empty()) station_ = id;
  if (station_ == id || mixed_) return;
  mixed_ = true;
  checker_.fault(line, "station",
                 "the file holds more than one station (" + base::printable(station_) + ", " +
                     base::printable(id) + "): keep the lines of one");
}

void Gathered::put(Date date, int line, const Element& element, double value, const std::string& unit,
                   char measurement_flag, char quality_flag) {
  if (quality_flag != ' ') {
    ++flagged_;
    return;
  }
  auto& [day, first_line] = days_[date];
  if (first_line == 0) first_line = line;
  day.date = date;
  std::optional<double>& field = *field_of(day, element.field);
  if (field)
    return checker_.fault(
        line, element.name,
        base::to_text(date) + " has a value already (line " + std::to_string(first_line) + " or later)");
  if (measurement_flag == 'T') ++traces_;
  field = to_standard(value, unit);
}

/// Extremes that contradict each other, or a mean outside of them, come from readings at different hours of
/// the day; the archive has them unflagged. They are not the user's to mend: left out and counted.
void Gathered::drop_contradictions() {
  for (auto& [date, entry] : days_) {
    Day& day = entry.first;
    if (day.tmin_degc && day.tmax_degc && *day.tmin_degc > *day.tmax_degc) {
      day.tmin_degc.reset();
      day.tmax_degc.reset();
      ++contradictions_;
    }
    if (day.tmean_degc && ((day.tmin_degc && *day.tmean_degc < *day.tmin_degc) ||
                           (day.tmax_degc && *day.tmean_degc > *day.tmax_degc))) {
      day.tmean_degc.reset();
      ++contradictions_;
    }
  }
}

Parsed<Series> Gathered::finish() {
  Parsed<Series> result;
  drop_contradictions();
  for (auto& [date, entry] : days_) checker_.add(entry.first, entry.second);
  checker_.finish(result);
  result.value.station.id = result.value.station.name = station_;
  auto note = [&](int n, const char* field, const char* text) {
    if (n > 0) result.issues.push_back({Severity::note, path_, 0, field, std::to_string(n) + text});
  };
  note(flagged_, "quality", " values failed their archive's quality check and were left out");
  note(contradictions_, "quality", " days have temperatures that contradict each other; these were left out");
  note(traces_, "precip", " traces (too little to measure) count as 0");
  return result;
}

Parsed<Series> dly_from_text(std::string_view text, const std::string& path) {
  Gathered gathered(path);
  int line = 0;
  for (std::size_t start = 0; start < text.size();) {
    const auto end = std::min(text.find('\n', start), text.size());
    std::string row(text.substr(start, end - start));
    start = end + 1;
    ++line;
    while (!row.empty() && row.back() == '\r') row.pop_back();
    if (!row.empty()) read_line(std::move(row), line, gathered);
  }
  return gathered.finish();
}

Parsed<Series> read_ghcn_dly(const std::string& path) {
  return dly_from_text(read_weather_file(path), path);
}

}  // namespace stumpwise::weather
