#pragma once
// Private to picture: a map is drawn once, onto vectors or onto pixels.
#include <memory>
#include <string>
#include <vector>

#include "stumpwise/picture/image.h"

namespace stumpwise::picture {

struct Point {
  double x = 0, y = 0;  ///< pixels from the north-west corner of the picture
};

struct Stroke {
  Colour colour;
  double width = 1;
  double dash = 0;  ///< length of a dash and of a gap; 0: a whole line
};

enum class Anchor { left, middle, right };

struct Text {
  Point at;  ///< left, middle or right end of the base line
  std::string text;
  double size = 12;
  Anchor anchor = Anchor::left;
  Colour colour{20, 20, 20, 255};
  bool bold = false;
  bool halo = false;    ///< a pale rim, for text on the map
  double turn_deg = 0;  ///< clockwise; pixels ignore it
};

class Canvas {
 public:
  virtual ~Canvas() = default;
  virtual void polyline(const std::vector<Point>& points, const Stroke& stroke) = 0;
  virtual void polygon(const std::vector<Point>& points, Colour fill, const Stroke& rim) = 0;
  virtual void disc(Point centre, double radius, Colour fill, const Stroke& rim) = 0;
  virtual void text(const Text& text) = 0;
  /// Parts drawn from now on belong together (a layer); vectors name it.
  virtual void begin(const std::string& name) = 0;
  virtual void end() = 0;
};

/// Draws onto the pixels of `image`, edges smoothed.
std::unique_ptr<Canvas> pixel_canvas(Image& image);
/// Appends SVG elements to `svg`.
std::unique_ptr<Canvas> svg_canvas(std::string& svg);

/// Width of a text by a plain rule (letters of a sans-serif face are about 0.56 of their height wide).
double text_width(const std::string& text, double size);

}  // namespace stumpwise::picture
