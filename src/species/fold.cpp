#include "fold.h"

#include <cstdint>

namespace stumpwise::species {

namespace {

/// Base letters of U+00C0..U+017F (Latin-1 letters and Latin Extended-A), one text per code point, upper and
/// lower alike.
const char* base_letters(std::uint32_t code) {
  static constexpr const char* kLatin1[] = {
      "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
      "d", "n", "o", "o", "o", "o", "o",  " ", "o", "u", "u", "u", "u", "y", "th", "ss",
      "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
      "d", "n", "o", "o", "o", "o", "o",  " ", "o", "u", "u", "u", "u", "y", "th", "y"};
  static constexpr const char kExtended[] =
      "aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiiiiijjkkklllllll"
      "lllnnnnnnnnnoooooooorrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs";
  static_assert(sizeof kExtended == 0x80 + 1);
  static thread_local char one[2] = {};
  if (code >= 0xC0 && code <= 0xFF) return kLatin1[code - 0xC0];
  if (code >= 0x100 && code <= 0x17F) {
    one[0] = kExtended[code - 0x100];
    return one;
  }
  return nullptr;
}

/// The code point of a two- or three-byte sequence at `i`, which moves past it; 0 for anything else (one byte
/// passed).
std::uint32_t next_code(std::string_view text, std::size_t& i) {
  const auto byte = [&](std::size_t k) {
    return static_cast<std::uint32_t>(static_cast<unsigned char>(text[k]));
  };
  const std::uint32_t first = byte(i);
  if ((first & 0xE0) == 0xC0 && i + 1 < text.size() && (byte(i + 1) & 0xC0) == 0x80) {
    const std::uint32_t code = ((first & 0x1F) << 6) | (byte(i + 1) & 0x3F);
    i += 2;
    return code;
  }
  if ((first & 0xF0) == 0xE0 && i + 2 < text.size() && (byte(i + 1) & 0xC0) == 0x80 &&
      (byte(i + 2) & 0xC0) == 0x80) {
    const std::uint32_t code = ((first & 0x0F) << 12) | ((byte(i + 1) & 0x3F) << 6) | (byte(i + 2) & 0x3F);
    i += 3;
    return code;
  }
  ++i;
  return 0;
}

}  // namespace

std::string fold_name(std::string_view text) {
  std::string folded;
  auto blank = [&] {
    if (!folded.empty() && folded.back() != ' ') folded += ' ';
  };
  for (std::size_t i = 0; i < text.size();) {
    const char c = text[i];
    if (static_cast<unsigned char>(c) >= 0x80) {
      const std::uint32_t code = next_code(text, i);
      if (code == 0x2018 || code == 0x2019 || code == 0x02BC) continue;  // curly apostrophes
      if (code == 0xA0 || code == 0x2010 || code == 0x2011 || code == 0x2013)
        blank();
      else if (const char* letters = base_letters(code))
        folded += letters;
      continue;
    }
    ++i;
    if (c == '\'' || c == '`' || c == '.' || c == '"') continue;
    if (c == '-' || c == '_' || c == ' ' || c == '\t' || c == '\n' || c == '\r')
      blank();
    else
      folded += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  while (!folded.empty() && folded.back() == ' ') folded.pop_back();
  return folded;
}

}  // namespace stumpwise::species
