#include "stumpwise/key/read_spores.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <regex>

#include "spellings.h"
#include "stumpwise/base/csv.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::key {
namespace {

constexpr double kLeastUmPerDiv = 0.01, kMostUmPerDiv = 100;
/// No file holds it: the whole line is one cell.
constexpr char kNoSeparator = '\x1f';

enum class Unit { as_given, um, div };

struct Column {
  std::size_t at = 0;
  Unit unit = Unit::as_given;
};

struct Columns {
  std::optional<Column> length, width, size;
  std::optional<std::size_t> specimen, collection;
};

/// "Length (µm)" -> "length_um".
std::string plain_name(const std::string& header) {
  std::string name = base::lower(base::trim(header));
  name = respelt(name, "\u00b5", "u");
  name = respelt(name, "\u03bc", "u");
  name = respelt(name, "\u00d7", "x");
  std::string result;
  for (const char c : name) {
    const bool joint = c == ' ' || c == '(' || c == '[' || c == '_' || c == '/' || c == '.';
    if (joint && !result.empty() && result.back() != '_') result += '_';
    if (!joint && c != ')' && c != ']') result += c;
  }
  return result;
}

/// Takes the unit off the end of a name.
Unit take_unit(std::string& name) {
  for (const auto& [ending, unit] :
       {std::pair{"_um", Unit::um}, {"_divisions", Unit::div}, {"_div", Unit::div}}) {
    const std::string_view end = ending;
    if (name.size() > end.size() && name.ends_with(end)) {
      name.resize(name.size() - end.size());
      return unit;
    }
  }
  return Unit::as_given;
}

/// "9.0 x 5.5 um", "9,0×5,5": both numbers as text; nothing where it is no such text.
std::optional<std::pair<std::string, std::string>> two_numbers(std::string text) {
  if (text.size() > 60) return std::nullopt;
  text = respelt(text, "\u00d7", "x");
  text = respelt(text, "\u00b5m", " ");
  text = respelt(text, "\u03bcm", " ");
  text = respelt(text, "um", " ");
  static const std::regex kShape(R"(\s*([-+]?[0-9.,]+)\s*[xX*]\s*([-+]?[0-9.,]+)\s*)");
  std::smatch match;
  if (!std::regex_match(text, match, kShape)) return std::nullopt;
  return std::pair{match[1].str(), match[2].str()};
}

/// A decimal comma counts as a point: a comma that parts columns never reaches a cell.
std::optional<double> number_of(std::string text) {
  if (text.find('.') == std::string::npos && std::count(text.begin(), text.end(), ',') == 1)
    text = respelt(text, ",", ".");
  return base::parse_number(text);
}

class Reader {
 public:
  Reader(const std::string& path, std::optional<double> um_per_div) : path_(path), um_per_div_(um_per_div) {}

  Parsed<std::vector<Spore>> read(std::string_view text) {
    base::CsvTable table = table_of(text);
    columns_ = columns_of(table.header);
    for (const base::CsvRow& row : table.rows) read_row(row);
    warn_of_slips();
    return std::move(result_);
  }

 private:
  void say(Severity severity, int line, const std::string& field, const std::string& text) {
    result_.issues.push_back({severity, path_, line, field, text});
  }
  void fault(int line, const std::string& field, const std::string& text) {
    say(Severity::fault, line, field, text);
  }

  base::CsvTable table_of(std::string_view text) {
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    const std::string first_line(base::trim(text.substr(0, text.find('\n'))));
    const bool one_column = two_numbers(first_line) || first_line.find_first_of(",;\t") == std::string::npos;
    auto parsed = base::parse_csv(text, path_, one_column ? std::optional(kNoSeparator) : std::nullopt);
    const bool commas = !one_column && first_line.find_first_of(";\t") == std::string::npos;
    for (Issue& issue : parsed.issues) {
      if (commas && issue.text.find("cells where") != std::string::npos)
        issue.text += "; with decimal commas the columns are parted by ; or a tab";
      result_.issues.push_back(std::move(issue));
    }
    base::CsvTable table = std::move(parsed.value);
    const bool bare = !table.header.empty() &&
                      std::all_of(table.header.begin(), table.header.end(), [](const std::string& cell) {
                        return number_of(cell) || two_numbers(cell);
                      });
    if (bare) {
      table.rows.insert(table.rows.begin(), {1, table.header});
      table.header = table.header.size() == 1 ? std::vector<std::string>{"size"}
                                              : std::vector<std::string>{"length", "width"};
      table.header.resize(table.rows.front().cells.size());
      say(Severity::note, 1, "", "no header line: read as " + base::join(table.header, ", "));
    }
    return table;
  }

  Columns columns_of(const std::vector<std::string>& header) {
    Columns columns;
    for (std::size_t i = 0; i < header.size(); ++i) {
      std::string name = plain_name(header[i]);
      const Unit unit = take_unit(name);
      if (name == "length" || name == "l")
        take(columns.length, {i, unit}, header[i]);
      else if (name == "width" || name == "w")
        take(columns.width, {i, unit}, header[i]);
      else if (name == "size" || name == "spore" || name == "spores" || name == "length_x_width" ||
               name == "lxw" || name == "l_x_w")
        take(columns.size, {i, unit}, header[i]);
      else if (name == "specimen" || name == "body")
        take(columns.specimen, i, header[i]);
      else if (name == "collection")
        take(columns.collection, i, header[i]);
    }
    if (header.size() == 1 && !columns.length && !columns.width && !columns.size) {
      std::string name = plain_name(header[0]);
      take(columns.size, {0, take_unit(name)}, header[0]);
    }
    if (!header.empty() && !columns.size && !(columns.length && columns.width))
      fault(1, columns.length ? "width" : "length",
            "there is no such column; there are: " + base::printable(base::join(header, ", ")) +
                ". Needed are length and width, or one column size with texts like 9.0 x 5.5");
    if (columns.size && (columns.length || columns.width))
      fault(1, "size", "stands beside length or width: which of them counts?");
    return columns;
  }

  template <class T>
  void take(std::optional<T>& target, T value, const std::string& name) {
    if (target)
      fault(1, base::printable(name), "means the same as another column");
    else
      target = value;
    if constexpr (std::is_same_v<T, Column>) check_unit(value, name);
  }

  void check_unit(const Column& column, const std::string& name) {
    if (column.unit == Unit::um && um_per_div_)
      fault(1, base::printable(name),
            "is in micrometres, but a calibration is given: leave --um-per-div and --calibrate out");
    if (column.unit == Unit::div && !um_per_div_)
      fault(1, base::printable(name),
            "is in divisions of the eyepiece scale: give --um-per-div X or --calibrate DIV=UM");
  }

  void read_row(const base::CsvRow& row) {
    Spore spore;
    bool good = true;
    if (columns_.size) {
      const std::string& cell = row.cells[columns_.size->at];
      if (const auto both = two_numbers(cell)) {
        good &= measure(both->first, row.line, "length", spore.length_um);
        good &= measure(both->second, row.line, "width", spore.width_um);
      } else {
        good = false;
        fault(row.line, "size", "\"" + base::printable(cell) + "\" is no text like 9.0 x 5.5");
      }
    } else {
      if (columns_.length)
        good &= measure(row.cells[columns_.length->at], row.line, "length", spore.length_um);
      if (columns_.width) good &= measure(row.cells[columns_.width->at], row.line, "width", spore.width_um);
      good = good && columns_.length && columns_.width;
    }
    good &= label(row, columns_.specimen, "specimen", spore.specimen);
    good &= label(row, columns_.collection, "collection", spore.collection);
    if (!good) return;
    if (spore.width_um > spore.length_um) {
      say(Severity::warning, row.line, "width",
          fmt::format("{:.4g} um is above the length {:.4g} um: the two are swapped", spore.width_um,
                      spore.length_um));
      std::swap(spore.length_um, spore.width_um);
    }
    result_.value.push_back(std::move(spore));
    lines_.push_back(row.line);
  }

  bool measure(const std::string& cell, int line, const std::string& field, double& target_um) {
    const auto value = number_of(std::string(base::trim(cell)));
    if (!value) {
      fault(line, field, "\"" + base::printable(cell) + "\" is no number");
      return false;
    }
    target_um = *value * um_per_div_.value_or(1);
    const std::string given = um_per_div_ ? fmt::format("{} divisions = {:.4g} um", *value, target_um)
                                          : fmt::format("{} um", *value);
    if (*value <= 0) {
      fault(line, field, given + " is impossible: a size is above 0");
      return false;
    }
    if (target_um > kLongestSpore_um) {
      fault(line, field,
            fmt::format("{} is impossible: at most {} um", given, kLongestSpore_um) +
                (um_per_div_ ? "" : " (divisions of the eyepiece scale? give --um-per-div X)"));
      return false;
    }
    return true;
  }

  bool label(const base::CsvRow& row, const std::optional<std::size_t>& column, const char* field,
             std::string& target) {
    if (!column) return true;
    target = base::printable(base::trim(row.cells[*column]));
    if (!target.empty()) return true;
    fault(row.line, field, "is empty: name it in every row, or leave the column out");
    return false;
  }

  void warn_of_slips() {
    warn_of_slips("length", &Spore::length_um);
    warn_of_slips("width", &Spore::width_um);
  }

  void warn_of_slips(const char* field, double Spore::*measure) {
    constexpr double kTimes = 3;
    if (result_.value.empty()) return;
    std::vector<double> values;
    for (const Spore& spore : result_.value) values.push_back(spore.*measure);
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    const double median_um = *middle;
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      const double value_um = result_.value[i].*measure;
      if (value_um > kTimes * median_um || value_um < median_um / kTimes)
        say(Severity::warning, lines_[i], field,
            fmt::format("{:.4g} um lies far from the median {:.4g} um: a slip of the pen? It counts as given",
                        value_um, median_um));
    }
  }

  std::string path_;
  std::optional<double> um_per_div_;
  Columns columns_;
  Parsed<std::vector<Spore>> result_;
  std::vector<int> lines_;
};

}  // namespace

double checked_um_per_division(double value_um_per_div) {
  if (!(value_um_per_div >= kLeastUmPerDiv && value_um_per_div <= kMostUmPerDiv))
    throw Error(
        ErrorCode::bad_value,
        fmt::format("{} micrometres per division: {} to {}", value_um_per_div, kLeastUmPerDiv, kMostUmPerDiv),
        "About 1 with an objective of 100 times, 2.5 with 40 times.");
  return value_um_per_div;
}

double um_per_division(double divisions, double length_um) {
  if (!(divisions > 0) || !(length_um > 0) || !std::isfinite(divisions) || !std::isfinite(length_um))
    throw Error(ErrorCode::bad_value,
                fmt::format("{} divisions = {} um: both must be above 0", divisions, length_um),
                "Lay the eyepiece scale on the stage micrometer and read how many divisions cover how many "
                "micrometres.");
  return checked_um_per_division(length_um / divisions);
}

Parsed<std::vector<Spore>> spores_from_text(std::string_view text, const std::string& path,
                                            std::optional<double> um_per_div) {
  if (um_per_div) checked_um_per_division(*um_per_div);
  return Reader(path, um_per_div).read(text);
}

Parsed<std::vector<Spore>> read_spores(const std::string& path, std::optional<double> um_per_div) {
  constexpr std::size_t kMostBytes = std::size_t{8} << 20;
  return spores_from_text(base::read_file(path, kMostBytes), path, um_per_div);
}

}  // namespace stumpwise::key
