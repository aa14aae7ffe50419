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
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string padded(std::string_view text, std::size_t width) {
  const std::size_t have = width_of(text);
  return std::string(text) + std::string(have < width ? width - have : 0, ' ');
}

std::string wrapped(std::string_view text, std::size_t indent, std::size_t hang) {
  std::string result, line(indent, ' ');
  std::size_t blanks = 0;  // blanks before the next word: columns inside a line stay as they are
  bool empty = true;
  for (const std::string& word : base::split(text, ' ')) {
    if (word.empty()) {
      ++blanks;
      continue;
    }
    if (!empty && width_of(line) + 1 + blanks + width_of(word) > kWidth) {
      result += line + "\n";
      line.assign(indent + hang, ' ');
      blanks = 0;
      empty = true;
    }
    line.append(blanks + (empty ? 0 : 1), ' ');
    line += word;
    blanks = 0;
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
  for (const std::string& each : base::split(text, '\n'))
    text_ += wrapped(base::printable(each), indent, hang);
  return *this;
}

Page& Page::title(std::string_view text) {
  return line().wrap(text, 0, 2);
}

Page& Page::bullets(std::string_view heading, const Json& texts) {
  if (!texts.is_array() || texts.empty()) return *this;
  title(heading);
  for (const Json& each : texts)
    wrap("- " + (each.is_string() ? each.get<std::string>() : words(each, "text")), 2, 2);
  return *this;
}

Page& Page::closing(const Json& answer) {
  return bullets("Notes", items(answer, "notes")).bullets("Cautions", items(answer, "cautions"));
}

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

const Json& part(const Json& json, const char* key) {
  return value_of(json, key);
}

std::string joined(const Json& json, const char* key, std::string_view separator) {
  std::vector<std::string> texts;
  for (const Json& each : items(json, key))
    texts.push_back(each.is_string() ? each.get<std::string>() : each.dump());
  return base::join(texts, separator);
}

bool invented(const Json& answer) {
  if (yes(answer, "invented")) return true;
  const Json& cautions = items(answer, "cautions");
  return std::any_of(cautions.begin(), cautions.end(),
                     [](const Json& caution) { return words(caution, "id") == "invented-data"; });
}

Page& Page::head(bool is_invented, const std::string& text) {
  return wrap((is_invented ? "[INVENTED DEMO, NO REAL PLACE] " : "") + text, 0, 2);
}

std::string counted(long long count, const std::string& one) {
  return std::to_string(count) + " " + one + (count == 1 ? "" : "s");
}

Json with_notes_in(const Units& units, const Json& answer) {
  Json said = answer;
  if (said.is_object() && said.contains("notes") && said["notes"].is_array())
    for (Json& note : said["notes"])
      if (note.is_string()) note = units.in_words(note.get<std::string>(), false);
  return said;
}

}  // namespace stumpwise::cli
