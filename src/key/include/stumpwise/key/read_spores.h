#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/key/spores.h"

namespace stumpwise::key {

/// `divisions` of the eyepiece scale cover `length_um` of a stage micrometer: micrometres per division, which
/// hold for one objective only. Valid: divisions above 0, the quotient from 0.01 to 100. Outside:
/// Error(bad_value).
double um_per_division(double divisions, double length_um);
/// The same range for a value that is already worked out.
double checked_um_per_division(double value_um_per_div);

/// Spores from a table (comma, semicolon or tab): columns length and width (also l and w, with _um, _div or
/// "(um)" behind), or one column of texts like "9.0 x 5.5"; optional columns specimen and collection. Decimal
/// points, or decimal commas where the comma does not part the columns. A file without a header line is read
/// as length and width. With `um_per_div` the numbers are divisions of the eyepiece scale.
///
/// Every fault comes with its line: what is no number, what is not above 0 or is over 200 um, an empty
/// specimen in a file that names specimens. Warnings: a width above its length (the two are swapped), a
/// measure over three times or under a third of the median (a slip of the pen?).
Parsed<std::vector<Spore>> read_spores(const std::string& path,
                                       std::optional<double> um_per_div = std::nullopt);
Parsed<std::vector<Spore>> spores_from_text(std::string_view text, const std::string& path,
                                            std::optional<double> um_per_div = std::nullopt);

}  // namespace stumpwise::key
