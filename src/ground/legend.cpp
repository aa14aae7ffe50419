#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cctype>
#include <map>
#include <optional>

#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"
#include "stumpwise/ground/layers.h"

namespace stumpwise::ground {
namespace {

constexpr int kMostValue = 65535;
constexpr std::size_t kMostClasses = raster::ClassGrid::kNone;  // codes 0 to 254
/// Rounded shares may pass the canopy by this much before it is worth a word.
constexpr double kShareSlack = 0.02;

using Strings = std::vector<std::string>;

/// Reads one table of a legend strictly: each fault with the line of its value, and reading goes on.
class TableReader {
 public:
  TableReader(const toml::table& table, const std::string& file, std::string path, std::vector<Issue>& issues)
      : table_(table), file_(file), path_(std::move(path)), issues_(issues) {}

  void known_only(const Strings& known) const {
    for (const auto& [key, node] : table_) {
      const std::string name(key.str());
      if (std::find(known.begin(), known.end(), name) != known.end()) continue;
      const Strings near = base::nearest(name, known, 1);
      say(node, name,
          near.empty() ? "unknown; known are " + base::join(known, ", ")
                       : "unknown; did you mean " + near[0] + "?");
    }
  }
  std::string text(const std::string& key) const {
    const toml::node* node = required(key, "a text in quotes");
    const auto value = node ? node->value_exact<std::string>() : std::nullopt;
    if (node && (!value || base::trim(*value).empty()))
      say(*node, key, "must be a text in quotes, not empty");
    return value.value_or("");
  }
  std::optional<int> integer(const std::string& key, int least, int most) const {
    const std::string wanted = fmt::format("a whole number from {} to {}", least, most);
    const toml::node* node = required(key, wanted);
    if (!node) return {};
    const auto value = node->value_exact<std::int64_t>();
    if (value && *value >= least && *value <= most) return static_cast<int>(*value);
    say(*node, key, value ? fmt::format("is {}, must be {}", *value, wanted) : "must be " + wanted);
    return {};
  }
  double share(const std::string& key, bool is_required) const {
    const toml::node* node = is_required ? required(key, "a number from 0 to 1") : table_.get(key);
    return node ? share(*node, key).value_or(0) : 0;
  }
  bool flag(const std::string& key) const {
    const toml::node* node = table_.get(key);
    if (!node) return false;
    const auto value = node->value_exact<bool>();
    if (!value) say(*node, key, "must be true or false");
    return value.value_or(false);
  }
  std::map<std::string, std::pair<double, double>> genera() const {
    std::map<std::string, std::pair<double, double>> result;
    const toml::node* node = table_.get("genera");
    if (!node) return result;
    const toml::table* table = node->as_table();
    if (!table)
      say(*node, "genera", "must be a table: { Quercus = [0.3, 0.2] }");
    else
      for (const auto& [key, pair] : *table) {
        const std::string genus(key.str());
        require_genus(pair, genus);
        result[genus] = mean_and_sd(pair, genus);
      }
    return result;
  }
  void say(const toml::node& node, const std::string& field, const std::string& text,
           Severity severity = Severity::fault) const {
    issues_.push_back({severity, file_, static_cast<int>(node.source().begin.line),
                       path_.empty() ? field : path_ + "." + field, text});
  }
  const toml::table& table() const { return table_; }

 private:
  const toml::node* required(const std::string& key, const std::string& wanted) const {
    const toml::node* node = table_.get(key);
    if (!node) say(table_, key, "is missing: " + wanted);
    return node;
  }
  std::optional<double> share(const toml::node& node, const std::string& field) const {
    const auto value = node.is_number() ? node.value<double>() : std::nullopt;
    if (value && *value >= 0 && *value <= 1) return value;
    say(node, field,
        value ? fmt::format("is {}, must be from 0 to 1", *value) : "must be a number from 0 to 1");
    return {};
  }
  void require_genus(const toml::node& node, const std::string& genus) const {
    const bool letters =
        std::all_of(genus.begin(), genus.end(), [](unsigned char c) { return std::isalpha(c); });
    if (!letters || !std::isupper(static_cast<unsigned char>(genus[0])) ||
        base::lower(genus.substr(1)) != genus.substr(1))
      say(node, "genera." + genus, "must be a genus, as Quercus");
  }
  std::pair<double, double> mean_and_sd(const toml::node& node, const std::string& genus) const {
    const toml::array* pair = node.as_array();
    if (!pair || pair->size() != 2) {
      say(node, "genera." + genus, "must be [mean share of the ground, standard deviation]");
      return {};
    }
    const auto mean = share((*pair)[0], "genera." + genus), sd = share((*pair)[1], "genera." + genus);
    return {mean.value_or(0), sd.value_or(0)};
  }

  const toml::table& table_;
  const std::string& file_;
  std::string path_;
  std::vector<Issue>& issues_;
};

CoverClass read_class(const TableReader& reader) {
  reader.known_only({"value", "name", "canopy", "dead_wood", "water", "trees_unspecified", "genera"});
  CoverClass cover;
  cover.value = reader.integer("value", 0, kMostValue).value_or(-1);
  cover.name = reader.text("name");
  cover.canopy = reader.share("canopy", true);
  cover.dead_wood = reader.share("dead_wood", false);
  cover.water = reader.flag("water");
  cover.trees_unspecified = reader.flag("trees_unspecified");
  cover.genera = reader.genera();
  double sum = 0;
  for (const auto& [genus, share] : cover.genera) sum += share.first;
  if (sum > 1 + kShareSlack)
    reader.say(reader.table(), "genera",
               fmt::format("the shares add up to {:.2f}, more than the whole ground", sum));
  else if (sum > cover.canopy + kShareSlack)
    reader.say(reader.table(), "genera",
               fmt::format("the shares add up to {:.2f}, more than the canopy of {:.2f}", sum, cover.canopy),
               Severity::warning);
  if (cover.trees_unspecified && cover.canopy == 0)
    reader.say(reader.table(), "trees_unspecified", "is true in a class without canopy");
  return cover;
}

void read_classes(const toml::array& classes, const std::string& file, Parsed<Legend>& result) {
  std::map<int, int> line_of_value;
  for (std::size_t i = 0; i < classes.size(); ++i) {
    const toml::node& node = classes[i];
    const int line = static_cast<int>(node.source().begin.line);
    const toml::table* table = node.as_table();
    if (!table) {
      result.issues.push_back({Severity::fault, file, line, "class", "must be a table: [[class]]"});
      continue;
    }
    const TableReader reader(*table, file, fmt::format("class[{}]", i + 1), result.issues);
    if (i == kMostClasses)
      reader.say(node, "class",
                 fmt::format("is one more than the {} classes that a legend may have", kMostClasses));
    CoverClass cover = read_class(reader);
    const auto [first, fresh] = line_of_value.emplace(cover.value, line);
    if (!fresh && cover.value >= 0)
      reader.say(*table, "value", fmt::format("{} stands already on line {}", cover.value, first->second));
    if (i >= kMostClasses) continue;
    cover.code = static_cast<std::uint8_t>(i);
    result.value.classes.push_back(std::move(cover));
  }
}

}  // namespace

Parsed<Legend> read_legend(const std::string& path) {
  Parsed<Legend> result;
  const std::string text = base::read_file(path, std::size_t{4} << 20);
  toml::table top;
  try {
    top = toml::parse(text, path);
  } catch (const toml::parse_error& error) {
    result.issues.push_back({Severity::fault, path, static_cast<int>(error.source().begin.line), "",
                             std::string(error.description())});
    return result;
  }
  const TableReader reader(top, path, "", result.issues);
  reader.known_only({"name", "source", "class"});
  result.value.name = reader.text("name");
  result.value.source = reader.text("source");
  const toml::array* classes = top["class"].as_array();
  if (classes && !classes->empty())
    read_classes(*classes, path, result);
  else
    result.issues.push_back({Severity::fault, path, 1, "class", "the legend has no [[class]]"});
  return result;
}

}  // namespace stumpwise::ground
