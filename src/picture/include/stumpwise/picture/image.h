#pragma once
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace stumpwise::picture {

struct Colour {
  std::uint8_t red = 0, green = 0, blue = 0, alpha = 255;
  bool operator==(const Colour&) const = default;
};
/// "#1f7a8c" (alpha is not written).
std::string hex(Colour colour);

/// Rows from the top, four bytes a pixel (red, green, blue, alpha; alpha not multiplied in). Starts
/// transparent.
struct Image {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> rgba;

  Image() = default;
  Image(int w, int h, Colour fill = {0, 0, 0, 0});
  Colour at(int x, int y) const;
  void set(int x, int y, Colour colour);
  /// Lays `colour` over what is there (source over, by its alpha times `cover` 0 to 1). Outside the image
  /// nothing happens.
  void blend(int x, int y, Colour colour, double cover = 1);
};

/// PNG, 8 bit RGBA, without times or texts: the same image gives the same bytes. Throws Error(bad_value) for
/// an image without pixels or over 16384 on a side.
std::string encode_png(const Image& image);
/// Throws Error(bad_format) for bytes that are no PNG or a cut-off one, Error(bad_value) for one over 16384
/// on a side.
Image decode_png(std::string_view bytes);
/// RFC 4648 section 4, with padding.
std::string base64(std::string_view bytes);

/// Brought to `width` pixels, height in proportion: smaller by the mean of the covered area (colours weighted
/// by alpha), larger by repeating pixels, so that a cell stays a cell.
Image scaled_to_width(const Image& image, int width);

/// `over` laid on `under` (source over); both the same size, else Error(internal).
Image composed(const Image& under, const Image& over, double opacity = 1);

}  // namespace stumpwise::picture
