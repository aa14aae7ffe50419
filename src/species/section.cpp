#include "section.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "stumpwise/base/text.h"

namespace stumpwise::species {

std::string plain_number(double value) {
  char buffer[32];
  std::snprintf(buffer, sizeof buffer, "%.6g", value);
  return buffer;
}

namespace {

const char* kind_of(const toml::node& node) {
  if (node.is_string()) return "a text";
  if (node.is_number()) return "a number";
  if (node.is_boolean()) return "true or false";
  if (node.is_array()) return "a list";
  if (node.is_table()) return "a table";
  return "a date or time";
}

}  // namespace

Section::Section(const toml::table& table, std::string file, std::string path, std::vector<Issue>& issues)
    : table_(&table), file_(std::move(file)), path_(std::move(path)), issues_(&issues) {}

const toml::node* Section::take(const std::string& key) {
  known_.insert(key);
  return table_->get(key);
}

int Section::line() const {
  return static_cast<int>(table_->source().begin.line);
}

int Section::line(const std::string& key) const {
  const toml::node* node = table_->get(key);
  return node ? static_cast<int>(node->source().begin.line) : line();
}

void Section::fault(const std::string& key, const std::string& text) const {
  issues_->push_back({Severity::fault, file_, line(key), field(key), text});
}

std::string Section::text(const std::string& key) {
  const toml::node* node = take(key);
  if (!node) {
    fault(key, "is missing: write " + key + " = \"...\"");
    return {};
  }
  const auto value = node->value_exact<std::string>();
  if (!value) {
    fault(key, std::string("is ") + kind_of(*node) + ", not a text in quotes");
    return {};
  }
  if (base::trim(*value).empty()) fault(key, "is empty");
  return *value;
}

std::string Section::text_or(const std::string& key, const std::string& otherwise) {
  return has(key) ? text(key) : (take(key), otherwise);
}

std::optional<double> Section::number(const std::string& key, double least, double most, bool required) {
  const toml::node* node = take(key);
  if (!node) {
    if (required)
      fault(key, "is missing: a number from " + plain_number(least) + " to " + plain_number(most));
    return {};
  }
  const auto value = node->is_number() ? node->value<double>() : std::nullopt;
  if (!value || !std::isfinite(*value)) {
    fault(key, std::string("is ") + kind_of(*node) + ", not a plain number");
    return {};
  }
  if (*value < least || *value > most) {
    fault(key, plain_number(*value) + " is outside " + plain_number(least) + " to " + plain_number(most));
    return {};
  }
  return value;
}

double Section::number_or(const std::string& key, double least, double most, double otherwise) {
  return number(key, least, most, false).value_or(otherwise);
}

std::optional<int> Section::integer(const std::string& key, int least, int most, bool required) {
  const toml::node* node = take(key);
  if (!node) {
    if (required)
      fault(key, "is missing: a whole number from " + std::to_string(least) + " to " + std::to_string(most));
    return {};
  }
  const auto value = node->value_exact<std::int64_t>();
  if (!value) {
    fault(key, std::string("is ") + kind_of(*node) + ", not a whole number");
    return {};
  }
  if (*value < least || *value > most) {
    fault(key,
          std::to_string(*value) + " is outside " + std::to_string(least) + " to " + std::to_string(most));
    return {};
  }
  return static_cast<int>(*value);
}

bool Section::flag(const std::string& key) {
  const toml::node* node = take(key);
  if (!node) return false;
  const auto value = node->value_exact<bool>();
  if (!value) fault(key, std::string("is ") + kind_of(*node) + ", not true or false");
  return value.value_or(false);
}

std::vector<std::string> Section::texts(const std::string& key, bool required) {
  std::vector<std::string> list;
  const toml::node* node = take(key);
  if (!node) {
    if (required) fault(key, "is missing: write " + key + " = [\"...\"]");
    return list;
  }
  auto add = [&](const toml::node& item) {
    const auto value = item.value_exact<std::string>();
    if (!value || base::trim(*value).empty())
      fault(key, std::string("holds ") + (value ? "an empty text" : kind_of(item)) +
                     " where a text in quotes belongs");
    else if (std::find(list.begin(), list.end(), *value) != list.end())
      fault(key, "names \"" + *value + "\" twice");
    else
      list.push_back(*value);
  };
  if (const toml::array* array = node->as_array()) {
    for (const toml::node& item : *array) add(item);
    if (array->empty() && required) fault(key, "is an empty list");
  } else {
    add(*node);
  }
  return list;
}

std::optional<std::pair<double, double>> Section::two(const std::string& key, double least, double most,
                                                      bool required) {
  const toml::node* node = take(key);
  if (!node) {
    if (required) fault(key, "is missing: two numbers, " + key + " = [a, b]");
    return {};
  }
  const toml::array* array = node->as_array();
  if (!array || array->size() != 2 || !(*array)[0].is_number() || !(*array)[1].is_number()) {
    fault(key, "is not two numbers, " + key + " = [a, b]");
    return {};
  }
  const double a = *(*array)[0].value<double>(), b = *(*array)[1].value<double>();
  for (double value : {a, b})
    if (!std::isfinite(value) || value < least || value > most) {
      fault(key, plain_number(value) + " is outside " + plain_number(least) + " to " + plain_number(most));
      return {};
    }
  return std::pair{a, b};
}

std::optional<NumericRange> Section::range(const NumericRange* limits) {
  const double least = limits ? limits->min : 0, most = limits ? limits->max : 1e6;
  NumericRange range;
  const auto min = number("min", least, most, true), max = number("max", least, most, true);
  const auto usual = two("usual", least, most, true);
  range.unit = text("unit");
  if (limits && !range.unit.empty() && range.unit != limits->unit) {
    fault("unit", "is \"" + range.unit + "\", must be \"" + limits->unit + "\"");
    return {};
  }
  if (!min || !max || !usual) return {};
  range.min = *min, range.usual_min = usual->first, range.usual_max = usual->second, range.max = *max;
  if (!(range.min <= range.usual_min && range.usual_min <= range.usual_max && range.usual_max <= range.max)) {
    fault("usual", "must rise: min " + plain_number(range.min) + ", usual " + plain_number(range.usual_min) +
                       " to " + plain_number(range.usual_max) + ", max " + plain_number(range.max));
    return {};
  }
  return range;
}

std::map<std::string, std::string> Section::text_map(const std::string& key) {
  std::map<std::string, std::string> map;
  if (auto section = child(key, false))
    for (const std::string& name : section->keys()) map[name] = section->text(name);
  return map;
}

std::optional<Section> Section::child(const std::string& key, bool required) {
  const toml::node* node = take(key);
  if (!node) {
    if (required) fault(key, "is missing: a table [" + field(key) + "]");
    return {};
  }
  if (!node->is_table()) {
    fault(key, std::string("is ") + kind_of(*node) + ", not a table");
    return {};
  }
  return Section(*node->as_table(), file_, field(key), *issues_);
}

std::vector<Section> Section::children(const std::string& key) {
  std::vector<Section> list;
  const toml::node* node = take(key);
  if (!node) return list;
  const toml::array* array = node->as_array();
  if (!array) {
    fault(key, std::string("is ") + kind_of(*node) + ", not a list of tables [[" + field(key) + "]]");
    return list;
  }
  int number = 0;
  for (const toml::node& item : *array) {
    ++number;
    const std::string path = field(key) + "[" + std::to_string(number) + "]";
    if (const toml::table* table = item.as_table())
      list.emplace_back(*table, file_, path, *issues_);
    else
      issues_->push_back({Severity::fault, file_, static_cast<int>(item.source().begin.line), path,
                          std::string("is ") + kind_of(item) + ", not a table"});
  }
  return list;
}

std::vector<std::string> Section::keys() const {
  std::vector<std::string> list;
  for (const auto& [key, node] : *table_) list.emplace_back(key.str());
  return list;
}

void Section::finish() const {
  const std::vector<std::string> known(known_.begin(), known_.end());
  for (const std::string& key : keys()) {
    if (known_.count(key)) continue;
    const auto near = base::nearest(key, known, 1);
    fault(key, "is not a known key" + (near.empty() ? "" : "; perhaps \"" + near.front() + "\""));
  }
}

}  // namespace stumpwise::species
