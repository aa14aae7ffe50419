#include "scene.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/picture/relief.h"

namespace stumpwise::picture {
namespace {

using earth::PlanePoint;
using raster::Georef;
using raster::Grid;

constexpr double kLeastSide_m = 500;
constexpr double kLineTolerance_px = 0.4;
constexpr double kLeastContour_px = 24;  // shorter rings are noise on paper
constexpr double kStopRadius_px = 11;
constexpr double kNoteSize_px = 13;
constexpr Colour kNoData{236, 234, 228, 255};
constexpr Colour kHatch{30, 30, 30, 170};
constexpr Colour kWall{60, 60, 60, 150}, kWater{96, 150, 196, 235}, kRipple{54, 104, 154, 255};

Grid cropped(const Grid& grid, const Georef& frame, const Georef& whole) {
  raster::require_same(grid.georef, whole);
  Grid part(frame, grid.quantity);
  const int col0 = whole.col_of(frame.x_of(0)), row0 = whole.row_of(frame.y_of(0));
  for (int row = 0; row < frame.rows; ++row)
    for (int col = 0; col < frame.cols; ++col) part.at(col, row) = grid.at(col0 + col, row0 + row);
  return part;
}

/// Enlarged or reduced; smooth between pixel centres where it is enlarged (relief), else pixel by pixel
/// (classes).
Image fitted(const Image& image, int width, int height, bool smooth) {
  if (!smooth || width <= image.width) {
    Image scaled = scaled_to_width(image, width);
    if (scaled.height == height) return scaled;
  }
  Image result(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const double u = (x + 0.5) * image.width / width - 0.5, v = (y + 0.5) * image.height / height - 0.5;
      const int x0 = std::clamp(static_cast<int>(std::floor(u)), 0, image.width - 1),
                x1 = std::min(x0 + 1, image.width - 1);
      const int y0 = std::clamp(static_cast<int>(std::floor(v)), 0, image.height - 1),
                y1 = std::min(y0 + 1, image.height - 1);
      const double s = std::clamp(u - x0, 0.0, 1.0), t = std::clamp(v - y0, 0.0, 1.0);
      const Colour c[4] = {image.at(x0, y0), image.at(x1, y0), image.at(x0, y1), image.at(x1, y1)};
      if (!smooth || c[0].alpha + c[1].alpha + c[2].alpha + c[3].alpha < 4 * 255) {
        result.set(x, y, c[(t >= 0.5 ? 2 : 0) + (s >= 0.5 ? 1 : 0)]);
        continue;
      }
      auto mix = [&](std::uint8_t Colour::*part) {
        const double top = c[0].*part * (1 - s) + c[1].*part * s,
                     bottom = c[2].*part * (1 - s) + c[3].*part * s;
        return static_cast<std::uint8_t>(std::lround(top * (1 - t) + bottom * t));
      };
      result.set(x, y, {mix(&Colour::red), mix(&Colour::green), mix(&Colour::blue), 255});
    }
  }
  return result;
}

/// Frame and pixels of one picture, and the drawing of its ground.
class Painter {
 public:
  Painter(const MapContent& content, const MapStyle& style)
      : content_(content), style_(style), frame_(map_frame(content, style)) {
    px_per_cell_ = static_cast<double>(style.width_px) / frame_.cols;
    width_ = style.width_px;
    height_ = std::max(1, static_cast<int>(std::lround(frame_.rows * px_per_cell_)));
  }

  int width() const { return width_; }
  int height() const { return height_; }
  double px_per_m() const { return px_per_cell_ / frame_.cell_m; }
  Point pixel(const PlanePoint& p) const {
    return {(p.x_m - frame_.left_m) * px_per_m(), (frame_.top_m - p.y_m) * px_per_m()};
  }
  Grid crop(const Grid& grid) const { return cropped(grid, frame_, content_.dem->georef); }

  Image base(const Grid& dem, const Ramp& ramp) const {
    Image image(width_, height_, kNoData);
    image = composed(image, fitted(relief_image(dem, {}, style_.threads), width_, height_, true));
    if (content_.prospect) {
      const Grid prospect = crop(*content_.prospect);
      image = composed(image, fitted(prospect_image(prospect, nullptr, ramp), width_, height_, false));
      // Hatching is drawn at the picture's own size: it must neither blur nor grow with the cells.
      if (content_.extrapolated) {
        const Grid guessed = crop(*content_.extrapolated);
        lay(
            image, kHatch, [](int x, int y) { return (x + y) % 8 == 0; },
            [&](std::size_t cell) {
              return guessed.values[cell] > 0 && ramp.colour(prospect.values[cell]).alpha > 0;
            });
      }
    }
    std::vector<char> wet(dem.values.size(), 0);
    if (content_.water) {
      const Grid water = crop(*content_.water);
      for (std::size_t i = 0; i < wet.size(); ++i) wet[i] = water.values[i] > 0;
      const auto is_wet = [&](std::size_t cell) { return wet[cell] != 0; };
      lay(
          image, kWater, [](int, int) { return true; }, is_wet);
      lay(
          image, kRipple, [](int x, int y) { return y % 6 == 0 && (x + y / 6 * 9) % 18 < 10; }, is_wet);
    }
    if (content_.wall) {
      const Grid wall = crop(*content_.wall);
      lay(
          image, kWall, [](int x, int y) { return (x + y) % 7 == 0 || (x - y + 7 * 16384) % 7 == 0; },
          [&](std::size_t cell) {
            return wall.values[cell] > 0 && !wet[cell] && !std::isnan(dem.values[cell]);
          });
    }
    return image;
  }

 private:
  template <class Dots, class Wanted>
  void lay(Image& image, Colour colour, Dots dots, Wanted wanted) const {
    for (int y = 0; y < height_; ++y) {
      const int row = std::min(frame_.rows - 1, static_cast<int>(y / px_per_cell_));
      for (int x = 0; x < width_; ++x) {
        if (!dots(x, y)) continue;
        const int col = std::min(frame_.cols - 1, static_cast<int>(x / px_per_cell_));
        if (wanted(frame_.index(col, row))) image.blend(x, y, colour);
      }
    }
  }

  const MapContent& content_;
  const MapStyle& style_;
  Georef frame_;
  double px_per_cell_;
  int width_, height_;
};

double length(const std::vector<Point>& line) {
  double sum = 0;
  for (std::size_t i = 1; i < line.size(); ++i)
    sum += std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
  return sum;
}

/// Puts the height of a long index line at its middle, turned along it and never upside down.
void label_contour(SceneContour& contour, double height_m, int width, int height) {
  constexpr double kLeastForLabel_px = 170;
  if (!contour.index || length(contour.line) < kLeastForLabel_px || contour.line.size() < 3) return;
  const std::size_t middle = contour.line.size() / 2;
  const Point a = contour.line[middle - 1], b = contour.line[middle];
  const Point at{(a.x + b.x) / 2, (a.y + b.y) / 2};
  if (at.x < 20 || at.y < 20 || at.x > width - 20 || at.y > height - 20) return;
  double turn = std::atan2(b.y - a.y, b.x - a.x) * 180 / M_PI;
  if (turn > 90) turn -= 180;
  if (turn < -90) turn += 180;
  contour.label = fmt::format("{:.0f}", height_m);
  contour.label_at = {at.x - 4 * std::sin(turn * M_PI / 180) * -1, at.y + 4 * std::cos(turn * M_PI / 180)};
  contour.label_turn_deg = turn;
}

struct Area {
  double left, top, right, bottom;
  bool meets(const Area& o) const {
    return left < o.right && o.left < right && top < o.bottom && o.top < bottom;
  }
};

/// Puts each stop's note beside its disc where it covers neither another disc nor a note: right, left, above,
/// below.
void place_notes(Scene& scene) {
  std::vector<Area> taken;
  const double r = kStopRadius_px + 2;
  for (const SceneStop& stop : scene.stops)
    taken.push_back({stop.at.x - r, stop.at.y - r, stop.at.x + r, stop.at.y + r});
  if (scene.has_start)
    taken.push_back({scene.start.x - r, scene.start.y - r, scene.start.x + r, scene.start.y + r});
  for (SceneStop& stop : scene.stops) {
    if (stop.note.empty()) continue;
    const double w = text_width(stop.note, kNoteSize_px), h = kNoteSize_px;
    const Point options[] = {{stop.at.x + r + 3, stop.at.y + h / 2 - 2},
                             {stop.at.x - r - 3 - w, stop.at.y + h / 2 - 2},
                             {stop.at.x - w / 2, stop.at.y - r - 4},
                             {stop.at.x - w / 2, stop.at.y + r + h + 1}};
    Point best = options[0];
    for (const Point& at : options) {
      const Area area{at.x, at.y - h, at.x + w, at.y + 3};
      const bool outside =
          area.left < 2 || area.top < 2 || area.right > scene.width - 2 || area.bottom > scene.map_height - 2;
      if (outside ||
          std::any_of(taken.begin(), taken.end(), [&](const Area& other) { return area.meets(other); }))
        continue;
      best = at;
      break;
    }
    // Where every place is taken the first one inside the picture still beats a note that is cut off.
    best.x = std::clamp(best.x, 2.0, std::max(2.0, scene.width - 2 - w));
    best.y = std::clamp(best.y, h + 2, scene.map_height - 4.0);
    stop.note_at = best;
    taken.push_back({best.x, best.y - h, best.x + w, best.y + 3});
  }
}

void add_contours(Scene& scene, const Painter& painter, const Grid& dem) {
  scene.contour_step_m = contour_step_m(dem);
  for (const Contour& contour : contours(dem, scene.contour_step_m)) {
    SceneContour drawn;
    drawn.index = contour.index;
    for (const PlanePoint& p : contour.line) drawn.line.push_back(painter.pixel(p));
    if (length(drawn.line) < kLeastContour_px) continue;
    drawn.line = simplified(drawn.line, kLineTolerance_px);
    label_contour(drawn, contour.height_m, scene.width, scene.map_height);
    scene.contours.push_back(std::move(drawn));
  }
}

bool any(const Grid* grid) {
  return grid && std::any_of(grid->values.begin(), grid->values.end(), [](float v) { return v > 0; });
}

}  // namespace

double scale_bar_m(double longest_m) {
  if (!(longest_m > 0))
    throw Error(ErrorCode::bad_value, fmt::format("scale bar of {} m: must be above 0", longest_m));
  const double power = std::pow(10, std::floor(std::log10(longest_m)));
  for (const double digit : {5.0, 2.0, 1.0})
    if (digit * power <= longest_m) return digit * power;
  return power;
}

std::vector<Point> simplified(const std::vector<Point>& line, double tolerance) {
  if (line.size() < 3) return line;
  std::vector<char> keep(line.size(), 0);
  keep.front() = keep.back() = 1;
  std::vector<std::pair<std::size_t, std::size_t>> open{{0, line.size() - 1}};
  while (!open.empty()) {
    const auto [first, last] = open.back();
    open.pop_back();
    const double dx = line[last].x - line[first].x, dy = line[last].y - line[first].y,
                 square = dx * dx + dy * dy;
    double furthest = tolerance;
    std::size_t at = 0;
    for (std::size_t i = first + 1; i < last; ++i) {
      const double ex = line[i].x - line[first].x, ey = line[i].y - line[first].y;
      const double t = square > 0 ? std::clamp((ex * dx + ey * dy) / square, 0.0, 1.0) : 0.0;
      const double d = std::hypot(ex - t * dx, ey - t * dy);
      if (d > furthest) furthest = d, at = i;
    }
    if (at == 0) continue;
    keep[at] = 1;
    open.emplace_back(first, at);
    open.emplace_back(at, last);
  }
  std::vector<Point> result;
  for (std::size_t i = 0; i < line.size(); ++i)
    if (keep[i]) result.push_back(line[i]);
  return result;
}

Georef map_frame(const MapContent& content, const MapStyle& style) {
  if (!content.dem) throw Error(ErrorCode::internal, "a map without its elevation model");
  const Georef& g = content.dem->georef;
  double left = 1e12, right = -1e12, bottom = 1e12, top = -1e12;
  auto add = [&](const PlanePoint& p) {
    left = std::min(left, p.x_m);
    right = std::max(right, p.x_m);
    bottom = std::min(bottom, p.y_m);
    top = std::max(top, p.y_m);
  };
  for (const MapLine& line : content.route) std::for_each(line.points.begin(), line.points.end(), add);
  for (const MapStop& stop : content.stops) add(stop.place);
  if (content.start) add(*content.start);
  if (content.end) add(*content.end);
  if (style.whole_ground || left > right) return g;
  const double across = std::max(0.0, kLeastSide_m - (right - left)) / 2,
               along = std::max(0.0, kLeastSide_m - (top - bottom)) / 2;
  const double margin_x = std::max(style.margin_m, across), margin_y = std::max(style.margin_m, along);
  auto clamped = [](double value, int most) {
    return static_cast<int>(std::clamp(value, 0.0, static_cast<double>(most)));
  };
  const int col0 = clamped(std::floor((left - margin_x - g.left_m) / g.cell_m), g.cols - 1);
  const int col1 = clamped(std::ceil((right + margin_x - g.left_m) / g.cell_m), g.cols);
  const int row0 = clamped(std::floor((g.top_m - top - margin_y) / g.cell_m), g.rows - 1);
  const int row1 = clamped(std::ceil((g.top_m - bottom + margin_y) / g.cell_m), g.rows);
  Georef frame = g;
  frame.left_m = g.left_m + col0 * g.cell_m;
  frame.top_m = g.top_m - row0 * g.cell_m;
  frame.cols = std::max(1, col1 - col0);
  frame.rows = std::max(1, row1 - row0);
  return frame;
}

Scene make_scene(const MapContent& content, const MapStyle& style) {
  if (style.width_px < 100 || style.width_px > 8000)
    throw Error(ErrorCode::bad_value, fmt::format("map of {} pixels' width: 100 to 8000", style.width_px));
  const Painter painter(content, style);
  if (painter.height() > 16000)
    throw Error(ErrorCode::bad_value,
                fmt::format("map of {} pixels' height: at most 16000", painter.height()),
                "Show less land or take a narrower picture.");
  Scene scene;
  scene.width = painter.width();
  scene.map_height = painter.height();
  const Grid dem = painter.crop(*content.dem);
  const Ramp ramp = content.prospect ? Ramp::for_grid(*content.prospect) : Ramp(1);
  scene.base = painter.base(dem, ramp);
  if (style.contours) add_contours(scene, painter, dem);
  for (const MapLine& line : content.route) {
    std::vector<Point> drawn;
    for (const PlanePoint& p : line.points) drawn.push_back(painter.pixel(p));
    scene.route.push_back(simplified(drawn, kLineTolerance_px));
    scene.dashed.push_back(line.way_back);
  }
  for (const MapStop& stop : content.stops)
    scene.stops.push_back({painter.pixel(stop.place), stop.number, stop.note, {}, Anchor::left});
  scene.has_start = content.start.has_value();
  if (content.start) scene.start = painter.pixel(*content.start);
  scene.has_end = content.end.has_value();
  if (content.end) scene.end = painter.pixel(*content.end);
  place_notes(scene);
  const double bar_m = scale_bar_m(scene.width / painter.px_per_m() / 4);
  scene.bar_px = bar_m * painter.px_per_m();
  scene.bar_label = bar_m >= 1000 ? fmt::format("{:g} km", bar_m / 1000) : fmt::format("{:g} m", bar_m);
  scene.north_turn_deg = -content.convergence_deg;
  scene.has_prospect = content.prospect != nullptr;
  scene.has_extrapolated = content.prospect && any(content.extrapolated);
  scene.has_wall = any(content.wall);
  scene.has_water = any(content.water);
  scene.has_route = !content.route.empty();
  scene.legend = style.legend;
  scene.legend_title = content.legend_title;
  scene.ramp = ramp.legend();
  constexpr int kLegendRow_px = 26;
  scene.height = scene.map_height + (style.legend ? (scene.has_prospect ? 3 : 1) * kLegendRow_px + 14 : 0);
  return scene;
}

}  // namespace stumpwise::picture
