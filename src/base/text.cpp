#include "stumpwise/base/text.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace stumpwise::base {

std::string_view trim(std::string_view text) {
  constexpr std::string_view kBlank = " \t\r\n\v\f";
  const auto first = text.find_first_not_of(kBlank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& c : result)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return result;
}

std::vector<std::string> split(std::string_view text, char separator) {
  std::vector<std::string> parts;
  std::size_t start = 0;
  while (true) {
    const auto end = text.find(separator, start);
    parts.emplace_back(text.substr(start, end == std::string_view::npos ? end : end - start));
    if (end == std::string_view::npos) return parts;
    start = end + 1;
  }
}

std::string join(const std::vector<std::string>& parts, std::string_view separator) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += separator;
    text += parts[i];
  }
  return text;
}

std::optional<double> parse_number(std::string_view text) {
  text = trim(text);
  if (!text.empty() && text[0] == '+') text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || text.empty() || !std::isfinite(value))
    return std::nullopt;
  return value;
}

std::optional<int> parse_integer(std::string_view text) {
  text = trim(text);
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || text.empty()) return std::nullopt;
  return value;
}

int edit_distance(std::string_view a, std::string_view b) {
  const std::size_t n = b.size();
  std::vector<int> two_back(n + 1), last(n + 1), now(n + 1);
  for (std::size_t j = 0; j <= n; ++j) last[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= n; ++j) {
      const int cost = a[i - 1] == b[j - 1] ? 0 : 1;
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + cost});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        now[j] = std::min(now[j], two_back[j - 2] + 1);
    }
    std::swap(two_back, last);
    std::swap(last, now);
  }
  return last[n];
}

std::vector<std::string> nearest(std::string_view wanted, const std::vector<std::string>& candidates,
                                 std::size_t most) {
  const std::string folded = lower(wanted);
  const int limit = static_cast<int>(wanted.size()) / 3 + 1;
  std::vector<std::pair<int, std::string>> scored;
  for (const std::string& candidate : candidates) {
    const int distance = edit_distance(folded, lower(candidate));
    if (distance <= limit) scored.emplace_back(distance, candidate);
  }
  std::sort(scored.begin(), scored.end());
  scored.erase(std::unique(scored.begin(), scored.end()), scored.end());
  std::vector<std::string> result;
  for (std::size_t i = 0; i < scored.size() && i < most; ++i) result.push_back(scored[i].second);
  return result;
}

std::string escape_markup(std::string_view text) {
  std::string result;
  result.reserve(text.size());
  for (char c : text) {
    switch (c) {
      case '&':
        result += "&amp;";
        break;
      case '<':
        result += "&lt;";
        break;
      case '>':
        result += "&gt;";
        break;
      case '"':
        result += "&quot;";
        break;
      case '\'':
        result += "&#39;";
        break;
      default:
        result += c;
    }
  }
  return result;
}

std::string printable(std::string_view text) {
  std::string result;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte < 0x20 || byte == 0x7f) continue;
    // U+202A..U+202E and U+2066..U+2069: E2 80 AA..AE, E2 81 A6..A9
    if (byte == 0xE2 && i + 2 < text.size()) {
      const auto second = static_cast<unsigned char>(text[i + 1]);
      const auto third = static_cast<unsigned char>(text[i + 2]);
      if ((second == 0x80 && third >= 0xAA && third <= 0xAE) ||
          (second == 0x81 && third >= 0xA6 && third <= 0xA9)) {
        i += 2;
        continue;
      }
    }
    result += text[i];
  }
  return result;
}

}  // namespace stumpwise::base
