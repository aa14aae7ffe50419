#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "stumpwise/base/issues.h"

namespace stumpwise::base {

/// One record of a delimited file and the line on which it begins.
struct CsvRow {
  int line = 0;
  std::vector<std::string> cells;
};

/// A delimited text file (RFC 4180: quotes, doubled quotes, line breaks inside quotes; CRLF or LF; UTF-8 BOM
/// dropped).
struct CsvTable {
  std::string file;
  std::vector<std::string> header;
  std::vector<CsvRow> rows;
  /// Index of a column by exact name, then by name without case and blanks.
  std::optional<std::size_t> column(std::string_view name) const;
};

/// Parses `text`. The separator is found in the header (comma, semicolon or tab) unless given. Rows that do
/// not have as many cells as the header and an unclosed quote are faults, with their lines.
Parsed<CsvTable> parse_csv(std::string_view text, std::string file,
                           std::optional<char> separator = std::nullopt);

/// A cell quoted where RFC 4180 asks for it. A cell that a spreadsheet would run as a formula gets a leading
/// quote mark.
std::string csv_cell(std::string_view text);

}  // namespace stumpwise::base
