#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <regex>
#include <utility>

#include "spellings.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/text.h"
#include "stumpwise/key/spores.h"

namespace stumpwise::key {
namespace {

constexpr const char* kExample =
    "For example \"(8.1-) 8.4-10.3 (-11.2) x 5.1-6.2 (-6.6) um; Q = 1.60-1.67; N = 20\"";

std::string range_text(const Spread& spread, int digits) {
  const auto print = [digits](double value) { return fmt::format("{:.{}f}", value, digits); };
  const std::string k = print(spread.min), m = print(spread.p5), n = print(spread.p95), p = print(spread.max);
  return (k == m ? "" : "(" + k + "–) ") + m + "–" + n + (p == n ? "" : " (–" + p + ")");
}

/// "L = 8.9–9.5": the range of the means of the bodies.
std::string means_text(const SporeStatistics& statistics, double BodyMeans::*mean, int digits) {
  const auto [low, high] =
      std::minmax_element(statistics.bodies.begin(), statistics.bodies.end(),
                          [mean](const BodyMeans& a, const BodyMeans& b) { return a.*mean < b.*mean; });
  return fmt::format("{:.{}f}–{:.{}f}", *low.*mean, digits, *high.*mean, digits);
}

bool is_digit(const std::string& text, std::size_t at) {
  return at < text.size() && text[at] >= '0' && text[at] <= '9';
}

/// One spelling for all: '-', 'x', decimal points, no unit, no blanks but between two digits (where one is
/// missing a dash, and dropping it would make another number). Commas that are not decimal part as ';' does.
std::string plain(std::string text) {
  static constexpr std::array<std::pair<const char*, const char*>, 15> kSpellings{{{"\u2013", "-"},
                                                                                   {"\u2014", "-"},
                                                                                   {"\u2212", "-"},
                                                                                   {"\u2010", "-"},
                                                                                   {"\u2011", "-"},
                                                                                   {"\u00d7", "x"},
                                                                                   {"*", "x"},
                                                                                   {"X", "x"},
                                                                                   {"\u00b5m", " "},
                                                                                   {"\u03bcm", " "},
                                                                                   {"um", " "},
                                                                                   {"\u00a0", " "},
                                                                                   {"\u202f", " "},
                                                                                   {"\u2032", "'"},
                                                                                   {"\u2019", "'"}}};
  for (const auto& [from, to] : kSpellings) text = respelt(text, from, to);
  std::string result;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == ' ' || c == '\t') {
      const std::size_t next = text.find_first_not_of(" \t", i);
      if (!result.empty() && is_digit(result, result.size() - 1) && next != std::string::npos &&
          is_digit(text, next))
        result += ' ';
      i = std::min(next, text.size()) - 1;
    } else if (c == ',') {
      result += i > 0 && is_digit(text, i - 1) && is_digit(text, i + 1) ? '.' : ';';
    } else {
      result += c;
    }
  }
  return result;
}

[[noreturn]] void off(const std::string& text, const std::string& what) {
  throw Error(ErrorCode::bad_value, "\"" + base::printable(text) + "\": " + what, kExample);
}

const std::string kNumber = R"((\d+(?:\.\d+)?))";
const std::string kRange =
    R"((?:\()" + kNumber + R"(-?\))?)" + kNumber + "-" + kNumber + R"((?:\(-?)" + kNumber + R"(\))?)";

/// The four groups from `first` on of a match.
PrintedRange range_of(const std::smatch& match, std::size_t first, double most, const std::string& text) {
  const auto at = [&](std::size_t i) { return *base::parse_number(match[first + i].str()); };
  PrintedRange range;
  if (match[first].matched) range.min = at(0);
  range.usual_min = at(1);
  range.usual_max = at(2);
  if (match[first + 3].matched) range.max = at(3);
  const double low = range.min.value_or(range.usual_min), high = range.max.value_or(range.usual_max);
  if (low <= 0 || high > most)
    off(text, fmt::format("{} to {} is impossible: above 0 and at most {}", low, high, most));
  if (low > range.usual_min || range.usual_min > range.usual_max || range.usual_max > high)
    off(text, fmt::format("the range {} must rise", match[0].str()));
  return range;
}

/// "Q=...", "N=30", "Me=3.7x1.1": true where it was understood.
bool take_part(const std::string& part, PrintedSpores& printed, const std::string& text) {
  static const std::regex kQ("[Qq]=" + kRange), kN("[Nn]=(\\d{1,6})"),
      kMeans("[Mm][a-z]*=" + kNumber + "x" + kNumber), kMeanQ("Q(?:'|e|m|av)=" + kNumber),
      kMeanL("L'=" + kNumber), kMeanW("W'=" + kNumber), kOfBodies("(?:L|W|meanQ)=" + kRange);
  constexpr double kMostQ = 100;
  std::smatch match;
  const auto number = [&](std::size_t i) { return base::parse_number(match[i].str()); };
  if (std::regex_match(part, match, kQ))
    printed.q = range_of(match, 1, kMostQ, text);
  else if (std::regex_match(part, match, kN))
    printed.spores = base::parse_integer(match[1].str());
  else if (std::regex_match(part, match, kMeans))
    printed.mean_length_um = number(1), printed.mean_width_um = number(2);
  else if (std::regex_match(part, match, kMeanQ))
    printed.mean_q = number(1);
  else if (std::regex_match(part, match, kMeanL))
    printed.mean_length_um = number(1);
  else if (std::regex_match(part, match, kMeanW))
    printed.mean_width_um = number(1);
  else
    return std::regex_match(part, kOfBodies);  // spread of the bodies' means: nothing here compares it
  return true;
}

}  // namespace

std::string bracket_notation(const SporeStatistics& statistics) {
  constexpr int kSize = 1, kQuotient = 2;
  const bool several = statistics.bodies.size() > 1;
  std::string text = fmt::format("[{}/{}/{}] {} × {} µm, ", statistics.spores, statistics.bodies.size(),
                                 statistics.collections, range_text(statistics.length_um, kSize),
                                 range_text(statistics.width_um, kSize));
  if (several) text += "L = " + means_text(statistics, &BodyMeans::mean_length_um, kSize) + ", ";
  text += fmt::format("L' = {:.1f}, ", statistics.length_um.mean);
  if (several) text += "W = " + means_text(statistics, &BodyMeans::mean_width_um, kSize) + ", ";
  text += fmt::format("W' = {:.1f}; Q = {}, ", statistics.width_um.mean, range_text(statistics.q, kQuotient));
  // Print sets the means of Q per body in bold; plain text has to say it.
  if (several) text += "mean Q = " + means_text(statistics, &BodyMeans::mean_q, kQuotient) + ", ";
  return text + fmt::format("Q' = {:.2f}", statistics.q.mean);
}

PrintedSpores parse_notation(const std::string& text) {
  constexpr std::size_t kLongest = 1000;  // std::regex goes deep on long texts
  if (text.size() > kLongest) off(text.substr(0, 60) + "...", "over 1000 characters");
  static const std::regex kSizes(R"((?:\[(\d{1,6})/(\d{1,6})/(\d{1,6})\])?)" + kRange + "x" + kRange);
  PrintedSpores printed;
  bool sized = false;
  for (std::string& part : base::split(plain(text), ';')) {
    std::smatch match;
    while (!part.empty() && part.back() == '.') part.pop_back();
    if (part.empty()) continue;
    if (!sized && std::regex_match(part, match, kSizes)) {
      sized = true;
      printed.spores = base::parse_integer(match[1].str());
      printed.bodies = base::parse_integer(match[2].str());
      printed.collections = base::parse_integer(match[3].str());
      printed.length_um = range_of(match, 4, kLongestSpore_um, text);
      printed.width_um = range_of(match, 8, kLongestSpore_um, text);
    } else if (!take_part(part, printed, text)) {
      printed.left_out.push_back(std::move(part));
    }
  }
  if (!sized) off(text, "no length x width can be read");
  return printed;
}

}  // namespace stumpwise::key
