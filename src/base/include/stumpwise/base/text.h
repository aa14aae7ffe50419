#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stumpwise::base {

std::string_view trim(std::string_view text);
/// ASCII lower case; other bytes stay.
std::string lower(std::string_view text);
std::vector<std::string> split(std::string_view text, char separator);
std::string join(const std::vector<std::string>& parts, std::string_view separator);

/// The whole text as a finite number with a decimal point; nothing for "", "1,5", "12 mm", "nan", "inf".
std::optional<double> parse_number(std::string_view text);
std::optional<int> parse_integer(std::string_view text);

/// Edit distance of Damerau (optimal string alignment: insertion, deletion, substitution, swap of
/// neighbours), bytes.
int edit_distance(std::string_view a, std::string_view b);
/// The `most` candidates nearest to `wanted` by edit distance (case folded), nearest first, none further than
/// a third of the length of `wanted` plus one.
std::vector<std::string> nearest(std::string_view wanted, const std::vector<std::string>& candidates,
                                 std::size_t most);

/// Text for HTML or XML content and attribute values: & < > " ' escaped.
std::string escape_markup(std::string_view text);
/// Text without control characters and without directional override marks, for file names and terminals.
std::string printable(std::string_view text);

}  // namespace stumpwise::base
