#include "stumpwise/base/csv.h"

#include <algorithm>

#include "stumpwise/base/text.h"

namespace stumpwise::base {
namespace {

char find_separator(std::string_view text) {
  const std::string_view first_line = text.substr(0, text.find('\n'));
  char best = ',';
  std::ptrdiff_t most = 0;
  for (char candidate : {',', ';', '\t'}) {
    const auto n = std::count(first_line.begin(), first_line.end(), candidate);
    if (n > most) {
      most = n;
      best = candidate;
    }
  }
  return best;
}

/// Splits the text into records. Returns the line of an unclosed quote, or 0.
int read_records(std::string_view text, char separator, std::vector<CsvRow>& out) {
  int line = 1;
  CsvRow row{1, {}};
  std::string cell;
  bool quoted = false;
  int quote_line = 0;
  auto end_row = [&] {
    row.cells.push_back(std::move(cell));
    cell.clear();
    const bool blank = row.cells.size() == 1 && trim(row.cells[0]).empty();
    if (!blank) out.push_back(std::move(row));
    row = CsvRow{line, {}};
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') ++line;
    if (quoted) {
      if (c != '"') {
        cell += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        cell += '"';
        ++i;
      } else {
        quoted = false;
      }
    } else if (c == '"' && cell.empty()) {
      quoted = true;
      quote_line = line;
    } else if (c == separator) {
      row.cells.push_back(std::move(cell));
      cell.clear();
    } else if (c == '\n') {
      end_row();
    } else if (c != '\r') {
      cell += c;
    }
  }
  if (!cell.empty() || !row.cells.empty()) end_row();
  return quoted ? quote_line : 0;
}

std::string folded(std::string_view name) {
  std::string text = lower(trim(name));
  std::erase(text, ' ');
  return text;
}

}  // namespace

std::optional<std::size_t> CsvTable::column(std::string_view name) const {
  for (std::size_t i = 0; i < header.size(); ++i)
    if (header[i] == name) return i;
  for (std::size_t i = 0; i < header.size(); ++i)
    if (folded(header[i]) == folded(name)) return i;
  return std::nullopt;
}

Parsed<CsvTable> parse_csv(std::string_view text, std::string file, std::optional<char> separator) {
  if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
  Parsed<CsvTable> result;
  result.value.file = file;
  std::vector<CsvRow> records;
  const int open_quote = read_records(text, separator.value_or(find_separator(text)), records);
  if (open_quote > 0)
    result.issues.push_back({Severity::fault, file, open_quote, "", "a quote mark is not closed"});
  if (records.empty()) {
    result.issues.push_back({Severity::fault, file, 0, "", "the file is empty: a header line is needed"});
    return result;
  }
  for (const std::string& name : records[0].cells) result.value.header.emplace_back(trim(name));
  const std::size_t width = result.value.header.size();
  for (std::size_t i = 1; i < records.size(); ++i) {
    if (records[i].cells.size() != width) {
      result.issues.push_back(
          {Severity::fault, file, records[i].line, "",
           std::to_string(records[i].cells.size()) + " cells where the header has " + std::to_string(width)});
      continue;
    }
    result.value.rows.push_back(std::move(records[i]));
  }
  return result;
}

std::string csv_cell(std::string_view text) {
  std::string value(text);
  if (!value.empty() && std::string_view("=+-@\t").find(value[0]) != std::string_view::npos &&
      !parse_number(value))
    value.insert(value.begin(), '\'');
  if (value.find_first_of(",;\"\r\n\t") == std::string::npos) return value;
  std::string quoted = "\"";
  for (char c : value) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + "\"";
}

}  // namespace stumpwise::base
