#include "page.h"

#include <algorithm>

#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

const Json kNothing;
const Json kNoItems = Json::array();

const Json& value_of(const Json& json, const char* key) {
  if (!json.is_object()) return kNothing;
  const auto found = json.find(key);
  return found == json.end() ? kNothing : *found;
}

}  // namespace

std::size_t width_of(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string padded(std::string_view text, std::size_t width) {
  const std::size_t have = width_of(text);
  return std::string(text) + std::string(have < width ? width - have : 0, ' ');
}

std::string wrapped(std::string_view text, std::size_t indent, std::size_t hang) {
  std::string result, line(indent, ' ');
  bool empty = true;
  for (const std::string& word : base::split(text, ' ')) {
    if (word.empty()) continue;
    if (!empty && width_of(line) + 1 + width_of(word) > kWidth) {
      result += line + "\n";
      line.assign(indent + hang, ' ');
      empty = true;
    }
    if (!empty) line += ' ';
    line += word;
    empty = false;
  }
  return result + line + "\n";
}

Page& Page::line(std::string_view text) {
  text_ += base::printable(text) + "\n";
  return *this;
}

Page& Page::wrap(std::string_view text, std::size_t indent, std::size_t hang) {
  // A list of faults comes as several lines.
  for (const std::string& each : base::split(text, '\n')) text_ += wrapped(base::printable(each), indent, hang);
  return *this;
}

Page& Page::title(std::string_view text) { return line().line(text); }

Page& Page::bullets(std::string_view heading, const Json& texts) {
  if (!texts.is_array() || texts.empty()) return *this;
  title(heading);
  for (const Json& each : texts) wrap("- " + (each.is_string() ? each.get<std::string>() : words(each, "text")), 2, 2);
  return *this;
}

Page& Page::closing(const Json& answer) { return bullets("Notes", items(answer, "notes")).bullets("Cautions", items(answer, "cautions")); }

std::string words(const Json& json, const char* key) {
  const Json& value = value_of(json, key);
  return value.is_string() ? value.get<std::string>() : std::string();
}

std::optional<double> number(const Json& json, const char* key) {
  const Json& value = value_of(json, key);
  return value.is_number() ? std::optional(value.get<double>()) : std::nullopt;
}

long long whole(const Json& json, const char* key) {
  const Json& value = value_of(json, key);
  return value.is_number_integer() ? value.get<long long>() : 0;
}

bool yes(const Json& json, const char* key) {
  const Json& value = value_of(json, key);
  return value.is_boolean() && value.get<bool>();
}

const Json& items(const Json& json, const char* key) {
  const Json& value = value_of(json, key);
  return value.is_array() ? value : kNoItems;
}

const Json& part(const Json& json, const char* key) { return value_of(json, key); }

std::string joined(const Json& json, const char* key, std::string_view separator) {
  std::vector<std::string> texts;
  for (const Json& each : items(json, key)) texts.push_back(each.is_string() ? each.get<std::string>() : each.dump());
  return base::join(texts, separator);
}

std::string headline(bool invented, const std::string& text) { return (invented ? "[INVENTED DEMO, NO REAL PLACE] " : "") + text; }

}  // namespace stumpwise::cli
