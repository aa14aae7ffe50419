#include <algorithm>
#include <cmath>

#include "canvas.h"
#include "font.h"

namespace stumpwise::picture {
namespace {

/// How much of each pixel a shape covers, in a box of the picture; laid down once, so that overlaps do not
/// add up.
class Cover {
 public:
  Cover(const Image& image, double left, double top, double right, double bottom)
      : left_(static_cast<int>(std::clamp(std::floor(left), 0.0, image.width + 0.0))),
        top_(static_cast<int>(std::clamp(std::floor(top), 0.0, image.height + 0.0))),
        width_(static_cast<int>(std::clamp(std::ceil(right), 0.0, image.width + 0.0)) - left_),
        height_(static_cast<int>(std::clamp(std::ceil(bottom), 0.0, image.height + 0.0)) - top_) {
    values_.assign(
        static_cast<std::size_t>(std::max(width_, 0)) * static_cast<std::size_t>(std::max(height_, 0)), 0);
  }
  /// Calls `cover(x, y)` with pixel centres inside the given box and keeps the larger value.
  template <class F>
  void raise(double left, double top, double right, double bottom, F cover) {
    const int x0 = std::max(left_, to_int(std::floor(left))),
              x1 = std::min(left_ + width_, to_int(std::ceil(right)) + 1);
    const int y0 = std::max(top_, to_int(std::floor(top))),
              y1 = std::min(top_ + height_, to_int(std::ceil(bottom)) + 1);
    for (int y = y0; y < y1; ++y) {
      for (int x = x0; x < x1; ++x) {
        float& value = values_[static_cast<std::size_t>(y - top_) * width_ + (x - left_)];
        value = std::max(value, static_cast<float>(std::clamp(cover(x + 0.5, y + 0.5), 0.0, 1.0)));
      }
    }
  }
  void lay(Image& image, Colour colour) const {
    for (int y = 0; y < height_; ++y)
      for (int x = 0; x < width_; ++x)
        if (const float value = values_[static_cast<std::size_t>(y) * width_ + x]; value > 0)
          image.blend(left_ + x, top_ + y, colour, value);
  }

 private:
  static int to_int(double value) { return static_cast<int>(std::clamp(value, -1e6, 1e6)); }
  int left_, top_, width_, height_;
  std::vector<float> values_;
};

struct Box {
  double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;
  explicit Box(const std::vector<Point>& points, double margin) {
    for (const Point& p : points) {
      left = std::min(left, p.x - margin);
      right = std::max(right, p.x + margin);
      top = std::min(top, p.y - margin);
      bottom = std::max(bottom, p.y + margin);
    }
  }
};

double distance(Point p, Point a, Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
  const double t = square > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / square, 0.0, 1.0) : 0.0;
  return std::hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

/// Pieces of a line that lie on dashes; the whole line where it has none.
std::vector<std::pair<Point, Point>> pieces(const std::vector<Point>& points, double dash) {
  std::vector<std::pair<Point, Point>> result;
  double walked = 0;
  for (std::size_t i = 1; i < points.size(); ++i) {
    const Point a = points[i - 1], b = points[i];
    const double length = std::hypot(b.x - a.x, b.y - a.y);
    if (dash <= 0 || length == 0) {
      result.emplace_back(a, b);
      continue;
    }
    auto at = [&](double s) { return Point{a.x + (b.x - a.x) * s / length, a.y + (b.y - a.y) * s / length}; };
    for (double s = 0; s < length;) {
      const double phase = std::fmod(walked + s, 2 * dash);
      const bool on = phase < dash;
      const double next = std::min(length, s + (on ? dash - phase : 2 * dash - phase) + 1e-9);
      if (on) result.emplace_back(at(s), at(next));
      s = next;
    }
    walked += length;
  }
  return result;
}

class PixelCanvas : public Canvas {
 public:
  explicit PixelCanvas(Image& image) : image_(image) {}

  void polyline(const std::vector<Point>& points, const Stroke& stroke) override {
    if (points.size() < 2 || stroke.width <= 0) return;
    const double reach = stroke.width / 2 + 1;
    const Box box(points, reach);
    Cover cover(image_, box.left, box.top, box.right, box.bottom);
    for (const auto& [a, b] : pieces(points, stroke.dash))
      cover.raise(std::min(a.x, b.x) - reach, std::min(a.y, b.y) - reach, std::max(a.x, b.x) + reach,
                  std::max(a.y, b.y) + reach, [&, from = a, to = b](double x, double y) {
                    return stroke.width / 2 + 0.5 - distance({x, y}, from, to);
                  });
    cover.lay(image_, stroke.colour);
  }

  void polygon(const std::vector<Point>& points, Colour fill, const Stroke& rim) override {
    const Box box(points, 1);
    Cover cover(image_, box.left, box.top, box.right, box.bottom);
    cover.raise(box.left, box.top, box.right, box.bottom, [&](double x, double y) {
      constexpr int kParts = 4;
      int in = 0;
      for (int k = 0; k < kParts * kParts; ++k)
        in += inside(points, x - 0.5 + (k % kParts + 0.5) / kParts, y - 0.5 + (k / kParts + 0.5) / kParts);
      return in / static_cast<double>(kParts * kParts);
    });
    if (fill.alpha > 0) cover.lay(image_, fill);
    if (rim.width <= 0 || points.empty()) return;
    std::vector<Point> closed = points;
    closed.push_back(points.front());
    polyline(closed, rim);
  }

  void disc(Point centre, double radius, Colour fill, const Stroke& rim) override {
    ring(centre, 0, radius, fill);
    if (rim.width > 0) ring(centre, radius - rim.width / 2, radius + rim.width / 2, rim.colour);
  }

  void text(const Text& text) override {
    const int dot = std::max(1, static_cast<int>(std::lround(text.size / 10)));
    const double width = static_cast<double>(text.text.size()) * (kGlyphWidth + 1) * dot - dot;
    const double shift = text.anchor == Anchor::left ? 0 : text.anchor == Anchor::middle ? width / 2 : width;
    const int left = static_cast<int>(std::lround(text.at.x - shift)),
              top = static_cast<int>(std::lround(text.at.y)) - kGlyphHeight * dot;
    if (text.halo)
      for (int dy = -1; dy <= 1; ++dy)
        for (int dx = -1; dx <= 1; ++dx) dots(text.text, left + dx, top + dy, dot, {255, 255, 255, 255});
    dots(text.text, left, top, dot, text.colour);
  }

  void begin(const std::string&) override {}
  void end() override {}

 private:
  static bool inside(const std::vector<Point>& points, double x, double y) {
    bool in = false;
    for (std::size_t i = 0, j = points.size() - 1; i < points.size(); j = i++)
      if ((points[i].y > y) != (points[j].y > y) &&
          x < points[i].x + (y - points[i].y) / (points[j].y - points[i].y) * (points[j].x - points[i].x))
        in = !in;
    return in;
  }

  void ring(Point centre, double inner, double outer, Colour colour) {
    const double reach = outer + 1;
    Cover cover(image_, centre.x - reach, centre.y - reach, centre.x + reach, centre.y + reach);
    cover.raise(centre.x - reach, centre.y - reach, centre.x + reach, centre.y + reach,
                [&](double x, double y) {
                  const double d = std::hypot(x - centre.x, y - centre.y);
                  return std::min(outer + 0.5 - d, inner > 0 ? d - inner + 0.5 : 1.0);
                });
    cover.lay(image_, colour);
  }

  void dots(const std::string& text, int left, int top, int dot, Colour colour) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      const char* const* rows = glyph(text[i]);
      const int x0 = left + static_cast<int>(i) * (kGlyphWidth + 1) * dot;
      for (int y = 0; y < kGlyphHeight * dot; ++y)
        for (int x = 0; x < kGlyphWidth * dot; ++x)
          if (rows[y / dot][x / dot] == '#') image_.blend(x0 + x, top + y, colour);
    }
  }

  Image& image_;
};

}  // namespace

std::unique_ptr<Canvas> pixel_canvas(Image& image) {
  return std::make_unique<PixelCanvas>(image);
}

}  // namespace stumpwise::picture
