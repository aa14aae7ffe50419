#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene.h"

namespace stumpwise::picture {
namespace {

constexpr Colour kInk{24, 24, 24, 255}, kWhite{255, 255, 255, 255}, kClear{0, 0, 0, 0};
constexpr Colour kContour{112, 84, 52, 130}, kIndexContour{92, 64, 36, 200};
constexpr Colour kRoute{20, 32, 46, 255}, kCasing{255, 255, 255, 215};
constexpr Colour kMark{255, 255, 255, 255}, kPlate{255, 255, 255, 215}, kRelief{226, 223, 212, 255},
    kHatch{30, 30, 30, 200};
constexpr double kStopRadius_px = 11;
constexpr Stroke kNone{kClear, 0, 0};

std::vector<Point> box(double left, double top, double right, double bottom) {
  return {{left, top}, {right, top}, {right, bottom}, {left, bottom}};
}

void draw_contours(Canvas& canvas, const Scene& scene) {
  canvas.begin("contours");
  for (const SceneContour& contour : scene.contours)
    canvas.polyline(contour.line, {contour.index ? kIndexContour : kContour, contour.index ? 1.3 : 0.8, 0});
  for (const SceneContour& contour : scene.contours)
    if (!contour.label.empty()) {
      Text text;
      text.at = contour.label_at;
      text.text = contour.label;
      text.size = 11;
      text.anchor = Anchor::middle;
      text.colour = kIndexContour;
      text.halo = true;
      text.turn_deg = contour.label_turn_deg;
      canvas.text(text);
    }
  canvas.end();
}

/// Arrow heads along the line, so that the way round can be read.
void draw_arrows(Canvas& canvas, const std::vector<Point>& line) {
  constexpr double kEvery_px = 130, kSize_px = 7;
  double walked = kEvery_px / 2;
  for (std::size_t i = 1; i < line.size(); ++i) {
    const Point a = line[i - 1], b = line[i];
    const double length = std::hypot(b.x - a.x, b.y - a.y);
    if (length == 0) continue;
    const double ux = (b.x - a.x) / length, uy = (b.y - a.y) / length;
    double at = kEvery_px - walked;
    for (; at <= length; at += kEvery_px) {
      const Point p{a.x + ux * at, a.y + uy * at};
      canvas.polygon({{p.x + ux * kSize_px, p.y + uy * kSize_px},
                      {p.x - ux * kSize_px - uy * kSize_px * 0.8, p.y - uy * kSize_px + ux * kSize_px * 0.8},
                      {p.x - ux * kSize_px * 0.4, p.y - uy * kSize_px * 0.4},
                      {p.x - ux * kSize_px + uy * kSize_px * 0.8, p.y - uy * kSize_px - ux * kSize_px * 0.8}},
                     kRoute, {kWhite, 1, 0});
    }
    walked = kEvery_px - (at - length);
  }
}

void draw_route(Canvas& canvas, const Scene& scene) {
  canvas.begin("route");
  for (const auto& line : scene.route) canvas.polyline(line, {kCasing, 6.5, 0});
  for (std::size_t i = 0; i < scene.route.size(); ++i)
    canvas.polyline(scene.route[i], {kRoute, 3, scene.dashed[i] ? 8.0 : 0.0});
  for (const auto& line : scene.route) draw_arrows(canvas, line);
  canvas.end();
}

void draw_start(Canvas& canvas, Point at) {
  canvas.polygon({{at.x, at.y - 12}, {at.x + 12, at.y}, {at.x, at.y + 12}, {at.x - 12, at.y}}, kMark,
                 {kInk, 2.2, 0});
  canvas.disc(at, 3.2, kInk, kNone);
}

void draw_end(Canvas& canvas, Point at) {
  canvas.polygon(box(at.x - 9, at.y - 9, at.x + 9, at.y + 9), kMark, {kInk, 2.2, 0});
  canvas.polygon(box(at.x - 4, at.y - 4, at.x + 4, at.y + 4), kInk, kNone);
}

void draw_stop(Canvas& canvas, Point at, const std::string& number) {
  canvas.disc(at, kStopRadius_px, kMark, {kInk, 2.2, 0});
  Text text;
  text.size = number.size() > 2 ? 10 : 14;
  text.at = {at.x, at.y + text.size * 0.36};
  text.text = number;
  text.anchor = Anchor::middle;
  text.bold = true;
  canvas.text(text);
}

void draw_stops(Canvas& canvas, const Scene& scene) {
  canvas.begin("stops");
  if (scene.has_end) draw_end(canvas, scene.end);
  if (scene.has_start) draw_start(canvas, scene.start);
  for (const SceneStop& stop : scene.stops) draw_stop(canvas, stop.at, stop.number);
  for (const SceneStop& stop : scene.stops) {
    if (stop.note.empty()) continue;
    Text text;
    text.at = stop.note_at;
    text.text = stop.note;
    text.size = 13;
    text.bold = true;
    text.halo = true;
    canvas.text(text);
  }
  canvas.end();
}

/// Scale bar at the lower left, arrow to true north at the upper right; both on pale plates.
void draw_furniture(Canvas& canvas, const Scene& scene) {
  canvas.begin("scale");
  const double bottom = scene.map_height - 12.0, left = 14;
  canvas.polygon(box(left - 8, bottom - 30, left + scene.bar_px + 12, bottom + 6), kPlate, kNone);
  constexpr int kParts = 4;
  for (int i = 0; i < kParts; ++i)
    canvas.polygon(
        box(left + scene.bar_px * i / kParts, bottom - 6, left + scene.bar_px * (i + 1) / kParts, bottom),
        i % 2 ? kWhite : kInk, {kInk, 1, 0});
  Text label;
  label.at = {left + scene.bar_px / 2, bottom - 12};
  label.text = scene.bar_label;
  label.size = 13;
  label.anchor = Anchor::middle;
  canvas.text(label);
  canvas.end();

  canvas.begin("north");
  const Point centre{scene.width - 28.0, 40};
  canvas.disc(centre, 22, kPlate, kNone);
  const double turn = scene.north_turn_deg * M_PI / 180;
  auto turned = [&](double x, double y) {
    return Point{centre.x + x * std::cos(turn) - y * std::sin(turn),
                 centre.y + x * std::sin(turn) + y * std::cos(turn)};
  };
  canvas.polygon({turned(0, -18), turned(-7, 6), turned(0, 1)}, kInk, {kInk, 1, 0});
  canvas.polygon({turned(0, -18), turned(7, 6), turned(0, 1)}, kWhite, {kInk, 1, 0});
  Text north;
  north.at = {centre.x, centre.y + 19};
  north.text = "N";
  north.size = 12;
  north.anchor = Anchor::middle;
  north.bold = true;
  canvas.text(north);
  canvas.end();
}

/// One legend row: symbols with their words, from left to right.
class Row {
 public:
  Row(Canvas& canvas, double y, double right) : canvas_(canvas), y_(y), right_(right) {}
  double x() const { return x_; }
  double y() const { return y_; }
  void words(const std::string& text) {
    Text label;
    label.at = {x_, y_ + 4.5};
    label.text = text;
    label.size = 13;
    canvas_.text(label);
    x_ += text_width(text, 13) + 18;
  }
  template <class Draw>
  void item(double width, const std::string& text, Draw draw) {
    if (x_ + width + 6 + text_width(text, 13) > right_)
      return;  // a narrow picture: what does not fit is left out
    draw(x_);
    x_ += width + 6;
    words(text);
  }

 private:
  Canvas& canvas_;
  double x_ = 12, y_, right_;
};

void hatch(Canvas& canvas, double x, double y, bool both_ways) {
  for (int k = 0; k < 5; ++k) {
    const double from = k * 6.0;
    canvas.polyline({{x + std::min(from, 24.0), y + 7 - std::max(0.0, from - 24)},
                     {x + std::max(0.0, from - 14), y - 7 + std::max(0.0, 14 - from)}},
                    {kHatch, 1, 0});
    if (both_ways)
      canvas.polyline({{x + std::min(from, 24.0), y - 7},
                       {x + std::max(0.0, from - 14), y + 7 - std::max(0.0, 14 - from)}},
                      {kHatch, 1, 0});
  }
}

void draw_swatches(Canvas& canvas, const Scene& scene, double y) {
  Row row(canvas, y, scene.width);
  for (const RampStep& step : scene.ramp)
    row.item(26, step.label, [&](double x) {
      canvas.polygon(box(x, y - 8, x + 26, y + 8), kRelief, kNone);
      canvas.polygon(box(x, y - 8, x + 26, y + 8), step.colour, {kInk, 0.8, 0});
    });
}

void draw_symbols(Canvas& canvas, const Scene& scene, double y) {
  Row row(canvas, y, scene.width);
  if (scene.has_start) row.item(24, "start", [&](double x) { draw_start(canvas, {x + 12, y}); });
  if (scene.has_end) row.item(20, "end", [&](double x) { draw_end(canvas, {x + 10, y}); });
  if (!scene.stops.empty()) row.item(24, "stop", [&](double x) { draw_stop(canvas, {x + 12, y}, "1"); });
  if (scene.has_route)
    row.item(30, "way", [&](double x) { canvas.polyline({{x, y}, {x + 30, y}}, {kRoute, 3, 0}); });
  if (std::find(scene.dashed.begin(), scene.dashed.end(), true) != scene.dashed.end())
    row.item(38, "way back", [&](double x) { canvas.polyline({{x, y}, {x + 38, y}}, {kRoute, 3, 8}); });
  auto swatch = [&](double x, Colour fill) {
    canvas.polygon(box(x, y - 8, x + 26, y + 8), fill, {kInk, 0.8, 0});
  };
  if (scene.has_water) row.item(26, "water", [&](double x) { swatch(x, {96, 150, 196, 235}); });
  if (scene.has_wall)
    row.item(26, "no way through", [&](double x) { swatch(x, kRelief), hatch(canvas, x + 1, y, true); });
  if (scene.has_extrapolated)
    row.item(26, "outside what is known",
             [&](double x) { swatch(x, kRelief), hatch(canvas, x + 1, y, false); });
  if (!scene.contours.empty())
    row.item(26, fmt::format("heights every {:g} m", scene.contour_step_m), [&](double x) {
      canvas.polyline({{x, y}, {x + 26, y}}, {kIndexContour, 1.3, 0});
    });
}

void draw_legend(Canvas& canvas, const Scene& scene) {
  canvas.begin("legend");
  canvas.polygon(box(0, scene.map_height, scene.width, scene.height), kWhite, kNone);
  double y = scene.map_height + 20.0;
  if (scene.has_prospect) {
    Row(canvas, y, scene.width).words(scene.legend_title);
    draw_swatches(canvas, scene, y += 26);
    y += 26;
  }
  draw_symbols(canvas, scene, y);
  canvas.end();
}

}  // namespace

void draw_scene(Canvas& canvas, const Scene& scene) {
  draw_contours(canvas, scene);
  draw_route(canvas, scene);
  draw_stops(canvas, scene);
  draw_furniture(canvas, scene);
  canvas.begin("rim");
  canvas.polygon(box(0.5, 0.5, scene.width - 0.5, scene.map_height - 0.5), kClear, {kInk, 1, 0});
  canvas.end();
  if (scene.legend) draw_legend(canvas, scene);
}

}  // namespace stumpwise::picture
