#pragma once
// Private to picture: letters for pictures that cannot carry text, drawn by hand on 5 x 7 dots.

namespace stumpwise::picture {

inline constexpr int kGlyphWidth = 5, kGlyphHeight = 7;

/// Seven rows from the top, '#' is a dot. Small letters look like capitals; what is not drawn shows as an
/// open box.
const char* const* glyph(char letter);

}  // namespace stumpwise::picture
