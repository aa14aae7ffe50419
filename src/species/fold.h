#pragma once
#include <string>
#include <string_view>

namespace stumpwise::species {

/// A name as it is compared: lower case, accents of Latin letters dropped, apostrophes and dots dropped,
/// hyphens and runs of blanks as one blank. "Dryad’s  Saddle" and "dryads saddle" are the same.
std::string fold_name(std::string_view text);

}  // namespace stumpwise::species
