#include "query.h"

#include "stumpwise/base/error.h"
#include "stumpwise/base/text.h"

namespace stumpwise::serve {
namespace {

constexpr std::size_t kLongestWord = 120, kMostNames = 60;

[[noreturn]] void refuse(const std::string& name, const std::string& value, const std::string& allowed) {
  throw Error(ErrorCode::bad_usage, name + ": \"" + base::printable(value) + "\" " + allowed);
}

}  // namespace

void Query::allow_only(const std::set<std::string>& names) const {
  for (const auto& [name, value] : words_)
    if (!names.count(name)) {
      const std::vector<std::string> known(names.begin(), names.end());
      throw Error(ErrorCode::bad_usage, "unknown word \"" + base::printable(name) + "\"",
                  known.empty() ? "" : "Known: " + base::join(known, ", "));
    }
}

std::optional<std::string> Query::one(const std::string& name) const {
  const auto [first, last] = words_.equal_range(name);
  if (first == last) return std::nullopt;
  if (std::next(first) != last) throw Error(ErrorCode::bad_usage, name + ": given more than once");
  if (first->second.size() > kLongestWord)
    throw Error(ErrorCode::bad_usage, name + ": longer than " + std::to_string(kLongestWord) + " bytes");
  return first->second;
}

std::string Query::text(const std::string& name) const {
  return one(name).value_or("");
}

std::string Query::need_text(const std::string& name) const {
  const std::string value = text(name);
  if (value.empty()) throw Error(ErrorCode::bad_usage, name + ": is missing");
  return value;
}

std::vector<std::string> Query::list(const std::string& name) const {
  std::vector<std::string> values;
  const auto [first, last] = words_.equal_range(name);
  for (auto at = first; at != last; ++at)
    for (const std::string& each : base::split(at->second, ',')) {
      const std::string value(base::trim(each));
      if (value.empty()) continue;
      if (value.size() > kLongestWord)
        throw Error(ErrorCode::bad_usage, name + ": longer than " + std::to_string(kLongestWord) + " bytes");
      values.push_back(value);
    }
  if (values.size() > kMostNames)
    throw Error(ErrorCode::bad_usage, name + ": at most " + std::to_string(kMostNames));
  return values;
}

std::optional<int> Query::integer(const std::string& name) const {
  const auto value = one(name);
  if (!value) return std::nullopt;
  const auto parsed = base::parse_integer(*value);
  if (!parsed) refuse(name, *value, "is no whole number");
  return parsed;
}

std::optional<Date> Query::date(const std::string& name) const {
  const auto value = one(name);
  if (!value) return std::nullopt;
  const auto parsed = base::parse_date(*value);
  if (!parsed) refuse(name, *value, "is no day (YYYY-MM-DD)");
  return parsed;
}

std::optional<double> Query::number(const std::string& name) const {
  const auto value = one(name);
  if (!value) return std::nullopt;
  const auto parsed = base::parse_number(*value);
  if (!parsed) refuse(name, *value, "is no number");
  return parsed;
}

std::optional<LatLon> Query::place() const {
  const auto lat = number("lat"), lon = number("lon");
  if (lat.has_value() != lon.has_value()) throw Error(ErrorCode::bad_usage, "lat and lon: both or neither");
  if (!lat) return std::nullopt;
  if (!(*lat >= -90 && *lat <= 90)) refuse("lat", text("lat"), "lies outside -90 to 90");
  if (!(*lon >= -180 && *lon <= 180)) refuse("lon", text("lon"), "lies outside -180 to 180");
  return LatLon{.lat_deg = *lat, .lon_deg = *lon};
}

}  // namespace stumpwise::serve
