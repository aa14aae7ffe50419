#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>

#include "stumpwise/base/csv.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"
#include "stumpwise/key/matrix.h"

namespace stumpwise::key {
namespace {

/// Where classes begin when a number is weighed as something to look at; other names get even tenths of their
/// range.
const std::map<std::string, std::vector<double>> kCuts{{"cap-diameter", {2, 4, 6, 8, 10, 15, 20, 30}},
                                                       {"stem-height", {2, 4, 6, 8, 10, 15, 20}},
                                                       {"stem-width", {2, 5, 10, 15, 20, 30, 50}}};

std::vector<std::string> words_of(const std::string& cell) {
  std::string inside(base::trim(cell));
  if (inside.size() >= 2 && inside.front() == '[' && inside.back() == ']')
    inside = inside.substr(1, inside.size() - 2);
  std::vector<std::string> words;
  for (const std::string& word : base::split(inside, ','))
    if (!base::trim(word).empty()) words.emplace_back(base::trim(word));
  return words;
}

/// Reads the columns of one table into characters and cells.
class MatrixReader {
 public:
  MatrixReader(const base::CsvTable& table, Parsed<Matrix>& result) : table_(table), result_(result) {}

  void read(const std::map<std::string, std::string>& groups) {
    const auto name = table_.column("name"), kind = table_.column("class");
    if (!name || !kind) {
      fault(1, "header", "needs the columns name and class");
      return;
    }
    for (const auto& row : table_.rows) {
      const std::string& word = row.cells[*kind];
      if (word != "e" && word != "p") fault(row.line, "class", "\"" + base::printable(word) + "\": e or p");
      result_.value.taxa.push_back(
          {std::to_string(result_.value.taxa.size() + 1), row.cells[*name], word == "p"});
    }
    for (std::size_t c = 0; c < table_.header.size(); ++c)
      if (c != *name && c != *kind && table_.header[c] != "family") read_column(c, groups);
    join_columns();
  }

 private:
  void fault(int line, const std::string& field, const std::string& text) {
    result_.issues.push_back({Severity::fault, table_.file, line, field, text});
  }

  void read_column(std::size_t column, const std::map<std::string, std::string>& groups) {
    KeyCharacter character;
    character.id = character.name = table_.header[column];
    const auto group = groups.find(character.id);
    if (group == groups.end())
      fault(1, character.id, "has no evidence group in the groups file");
    else
      character.group = group->second;
    bool numeric = true;
    std::vector<std::string> states;
    for (const auto& row : table_.rows)
      for (const std::string& word : words_of(row.cells[column])) {
        numeric = numeric && base::parse_number(word).has_value();
        if (std::find(states.begin(), states.end(), word) == states.end()) states.push_back(word);
      }
    std::sort(states.begin(), states.end());
    if (states.size() < 2) return;
    if (!numeric && states.size() > kMostStates) {
      fault(1, character.id, fmt::format("{} states: at most {}", states.size(), kMostStates));
      return;
    }
    if (!numeric) character.states = states;
    std::vector<KeyCell> cells;
    for (const auto& row : table_.rows)
      cells.push_back(numeric ? number(words_of(row.cells[column]), row.line, character.id)
                              : nominal(words_of(row.cells[column]), states));
    if (numeric) {
      for (const KeyCell& cell : cells)
        if (cell.recorded) character.range = std::max(character.range, cell.mean + 2 * cell.sd);
      const auto cuts = kCuts.find(character.id);
      if (cuts != kCuts.end())
        character.cuts = cuts->second;
      else
        for (int i = 1; i < 10; ++i) character.cuts.push_back(character.range * i / 10);
    }
    result_.value.characters.push_back(std::move(character));
    columns_.push_back(std::move(cells));
  }

  static KeyCell nominal(const std::vector<std::string>& words, const std::vector<std::string>& states) {
    KeyCell cell;
    for (const std::string& word : words)
      cell.states |= States{1} << (std::lower_bound(states.begin(), states.end(), word) - states.begin());
    cell.recorded = !words.empty();
    return cell;
  }

  KeyCell number(const std::vector<std::string>& words, int line, const std::string& field) {
    KeyCell cell;
    if (words.empty()) return cell;
    const double low = *base::parse_number(words.front()), high = *base::parse_number(words.back());
    if (words.size() > 2 || low > high || low < 0)
      fault(line, field, "must be [min, max] or [mean], not below 0");
    cell.recorded = true;
    cell.mean = (low + high) / 2;
    cell.sd = std::max({(high - low) / 4, 0.1 * cell.mean, 0.25});
    return cell;
  }

  void join_columns() {
    for (std::size_t t = 0; t < result_.value.taxa.size(); ++t)
      for (const auto& column : columns_) result_.value.cells.push_back(column[t]);
  }

  const base::CsvTable& table_;
  Parsed<Matrix>& result_;
  std::vector<std::vector<KeyCell>> columns_;
};

}  // namespace

Parsed<Matrix> read_matrix(const std::string& path, const std::string& groups_path) {
  Parsed<Matrix> result;
  const auto groups_table = base::parse_csv(base::read_file(groups_path), groups_path);
  result.issues = groups_table.issues;
  std::map<std::string, std::string> groups;
  const auto character = groups_table.value.column("character"), group = groups_table.value.column("group");
  if (!character || !group)
    result.issues.push_back(
        {Severity::fault, groups_path, 1, "header", "needs the columns character and group"});
  else
    for (const auto& row : groups_table.value.rows) groups[row.cells[*character]] = row.cells[*group];
  const auto table = base::parse_csv(base::read_file(path), path);
  result.issues.insert(result.issues.end(), table.issues.begin(), table.issues.end());
  MatrixReader(table.value, result).read(groups);
  return result;
}

}  // namespace stumpwise::key
