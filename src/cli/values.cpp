#include "values.h"

#include <algorithm>

#include "stumpwise/base/error.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

[[noreturn]] void off(const std::string& option, const std::string& word, const std::string& what,
                      const std::string& mend = {}) {
  throw Error(ErrorCode::bad_usage, option + " \"" + base::printable(word) + "\": " + what, mend);
}

std::vector<double> numbers(const std::string& option, const std::string& word, std::size_t count,
                            const std::string& shape) {
  std::vector<double> values;
  for (const std::string& each : base::split(word, ',')) {
    const auto value = base::parse_number(base::trim(each));
    if (!value)
      off(option, word, "needs " + shape + " in degrees with a decimal point",
          "For example " + option + (count == 2 ? " 42.01,-30.02" : " 42.01,-30.02,6"));
    values.push_back(*value);
  }
  if (values.size() != count)
    off(option, word, "needs " + shape + ", without blanks",
        "For example " + option + (count == 2 ? " 42.01,-30.02" : " 42.01,-30.02,6"));
  return values;
}

LatLon on_earth(const std::string& option, const std::string& word, double lat_deg, double lon_deg) {
  const LatLon place{.lat_deg = lat_deg, .lon_deg = lon_deg};
  if (!valid(place)) off(option, word, "latitude -90 to 90, longitude -180 to 180 (latitude comes first)");
  return place;
}

}  // namespace

double number_of(const std::string& option, const std::string& word) {
  const auto value = base::parse_number(word);
  if (!value) off(option, word, "needs a number with a decimal point");
  return *value;
}

int integer_of(const std::string& option, const std::string& word) {
  const auto value = base::parse_integer(word);
  if (!value) off(option, word, "needs a whole number");
  return *value;
}

LatLon place_of(const std::string& option, const std::string& word) {
  const auto values = numbers(option, word, 2, "LAT,LON");
  return on_earth(option, word, values[0], values[1]);
}

Around around_of(const std::string& option, const std::string& word) {
  const auto values = numbers(option, word, 3, "LAT,LON,KM");
  return {on_earth(option, word, values[0], values[1]), values[2]};
}

int clock_min_of(const std::string& option, const std::string& word) {
  const auto value = base::parse_clock_min(word);
  if (!value) off(option, word, "is no time of day (HH:MM, 00:00 to 23:59)");
  return *value;
}

std::function<std::string(const std::string&, const std::string&)> one_of(std::vector<std::string> known) {
  return [known = std::move(known)](const std::string& option, const std::string& word) {
    if (std::find(known.begin(), known.end(), word) == known.end())
      off(option, word, "is none of " + base::join(known, ", "));
    return word;
  };
}

}  // namespace stumpwise::cli
