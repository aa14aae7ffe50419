#include <fmt/format.h>

#include <cmath>

#include "canvas.h"
#include "stumpwise/base/text.h"

namespace stumpwise::picture {
namespace {

/// A coordinate to a tenth of a pixel, without trailing zeros: contours make most of the file.
std::string number(double value) {
  const double rounded = std::round(value * 10) / 10;
  return fmt::format("{:g}", rounded == 0 ? 0 : rounded);
}

std::string paint(const char* kind, Colour colour) {
  if (colour.alpha == 0) return fmt::format(" {}=\"none\"", kind);
  std::string text = fmt::format(" {}=\"{}\"", kind, hex(colour));
  if (colour.alpha < 255) text += fmt::format(" {}-opacity=\"{:.2f}\"", kind, colour.alpha / 255.0);
  return text;
}

std::string outline(const Stroke& stroke) {
  if (stroke.width <= 0) return {};
  std::string text =
      paint("stroke", stroke.colour) + fmt::format(" stroke-width=\"{}\"", number(stroke.width));
  if (stroke.dash > 0)
    text += fmt::format(" stroke-dasharray=\"{} {}\"", number(stroke.dash), number(stroke.dash));
  return text;
}

class SvgCanvas : public Canvas {
 public:
  explicit SvgCanvas(std::string& svg) : svg_(svg) {}

  void polyline(const std::vector<Point>& points, const Stroke& stroke) override {
    if (points.size() < 2) return;
    svg_ += "<polyline fill=\"none\" stroke-linejoin=\"round\" stroke-linecap=\"" +
            std::string(stroke.dash > 0 ? "butt" : "round") + "\"" + outline(stroke) + list(points) + "/>\n";
  }
  void polygon(const std::vector<Point>& points, Colour fill, const Stroke& rim) override {
    svg_ += "<polygon" + paint("fill", fill) + outline(rim) + list(points) + "/>\n";
  }
  void disc(Point centre, double radius, Colour fill, const Stroke& rim) override {
    svg_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}{}/>\n", number(centre.x), number(centre.y),
                        number(radius), paint("fill", fill), outline(rim));
  }
  void text(const Text& text) override {
    // The rim is a text of its own below: painting order within one text is newer than many printers'
    // viewers.
    if (text.halo)
      element(text,
              " stroke=\"#ffffff\" stroke-width=\"3\" stroke-linejoin=\"round\" stroke-opacity=\"0.9\" "
              "fill=\"#ffffff\" aria-hidden=\"true\"");
    element(text, paint("fill", text.colour));
  }
  void begin(const std::string& name) override {
    svg_ += "<g class=\"" + base::escape_markup(name) + "\">\n";
  }
  void end() override { svg_ += "</g>\n"; }

 private:
  static std::string list(const std::vector<Point>& points) {
    std::string text = " points=\"";
    for (std::size_t i = 0; i < points.size(); ++i)
      text += (i ? " " : "") + number(points[i].x) + "," + number(points[i].y);
    return text + "\"";
  }
  void element(const Text& text, const std::string& look) {
    static constexpr const char* kAnchors[] = {"start", "middle", "end"};
    svg_ += fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\"{}{}", number(text.at.x),
                        number(text.at.y), number(text.size), kAnchors[static_cast<int>(text.anchor)],
                        text.bold ? " font-weight=\"bold\"" : "", look);
    if (text.turn_deg != 0)
      svg_ += fmt::format(" transform=\"rotate({} {} {})\"", number(text.turn_deg), number(text.at.x),
                          number(text.at.y));
    svg_ += ">" + base::escape_markup(base::printable(text.text)) + "</text>\n";
  }

  std::string& svg_;
};

}  // namespace

std::unique_ptr<Canvas> svg_canvas(std::string& svg) {
  return std::make_unique<SvgCanvas>(svg);
}

double text_width(const std::string& text, double size) {
  std::size_t letters = 0;
  for (const char c : text)
    letters += (static_cast<unsigned char>(c) & 0xc0) != 0x80;  // UTF-8: count first bytes
  return 0.56 * size * static_cast<double>(letters);
}

}  // namespace stumpwise::picture
