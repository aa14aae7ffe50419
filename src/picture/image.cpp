#include "stumpwise/picture/image.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stumpwise/base/error.h"

namespace stumpwise::picture {
namespace {

std::size_t offset(const Image& image, int x, int y) {
  return (static_cast<std::size_t>(y) * image.width + static_cast<std::size_t>(x)) * 4;
}

std::uint8_t byte(double value) {
  return static_cast<std::uint8_t>(std::lround(std::clamp(value, 0.0, 255.0)));
}

/// How much of each source pixel lies under the target pixel `i`, along one direction.
struct Span {
  int first = 0;
  std::vector<double> weights;
};
std::vector<Span> spans(int from, int to) {
  std::vector<Span> result(static_cast<std::size_t>(to));
  const double ratio = static_cast<double>(from) / to;
  for (int i = 0; i < to; ++i) {
    const double start = i * ratio, end = std::min<double>(from, (i + 1) * ratio);
    Span& span = result[static_cast<std::size_t>(i)];
    span.first = std::min(from - 1, static_cast<int>(start));
    if (ratio <= 1) {
      span.first = std::min(from - 1, static_cast<int>((i + 0.5) * ratio));
      span.weights = {1.0};
      continue;
    }
    for (int k = span.first; k < from && k < end; ++k)
      span.weights.push_back(std::min<double>(end, k + 1) - std::max<double>(start, k));
  }
  return result;
}

}  // namespace

std::string hex(Colour colour) {
  return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

Image::Image(int w, int h, Colour fill)
    : width(w),
      height(h),
      rgba(static_cast<std::size_t>(std::max(w, 0)) * static_cast<std::size_t>(std::max(h, 0)) * 4) {
  for (std::size_t i = 0; i < rgba.size(); i += 4) {
    rgba[i] = fill.red;
    rgba[i + 1] = fill.green;
    rgba[i + 2] = fill.blue;
    rgba[i + 3] = fill.alpha;
  }
}

Colour Image::at(int x, int y) const {
  const std::size_t i = offset(*this, x, y);
  return {rgba[i], rgba[i + 1], rgba[i + 2], rgba[i + 3]};
}

void Image::set(int x, int y, Colour colour) {
  if (x < 0 || y < 0 || x >= width || y >= height) return;
  const std::size_t i = offset(*this, x, y);
  rgba[i] = colour.red;
  rgba[i + 1] = colour.green;
  rgba[i + 2] = colour.blue;
  rgba[i + 3] = colour.alpha;
}

void Image::blend(int x, int y, Colour colour, double cover) {
  if (x < 0 || y < 0 || x >= width || y >= height) return;
  const double over = colour.alpha / 255.0 * std::clamp(cover, 0.0, 1.0);
  if (over <= 0) return;
  const std::size_t i = offset(*this, x, y);
  const double under = rgba[i + 3] / 255.0 * (1 - over), alpha = over + under;
  rgba[i] = byte((colour.red * over + rgba[i] * under) / alpha);
  rgba[i + 1] = byte((colour.green * over + rgba[i + 1] * under) / alpha);
  rgba[i + 2] = byte((colour.blue * over + rgba[i + 2] * under) / alpha);
  rgba[i + 3] = byte(alpha * 255);
}

std::string base64(std::string_view bytes) {
  static constexpr char kDigits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t left = bytes.size() - i;
    unsigned group = static_cast<unsigned>(static_cast<unsigned char>(bytes[i])) << 16;
    if (left > 1) group |= static_cast<unsigned>(static_cast<unsigned char>(bytes[i + 1])) << 8;
    if (left > 2) group |= static_cast<unsigned char>(bytes[i + 2]);
    text += kDigits[group >> 18];
    text += kDigits[group >> 12 & 63];
    text += left > 1 ? kDigits[group >> 6 & 63] : '=';
    text += left > 2 ? kDigits[group & 63] : '=';
  }
  return text;
}

Image scaled_to_width(const Image& image, int width) {
  if (image.width < 1 || image.height < 1 || width < 1)
    throw Error(ErrorCode::bad_value, fmt::format("picture of {} pixels' width: must be above 0", width));
  if (width == image.width) return image;
  const int height =
      std::max(1, static_cast<int>(std::lround(static_cast<double>(image.height) * width / image.width)));
  Image result(width, height);
  const std::vector<Span> across = spans(image.width, width), down = spans(image.height, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const Span &h = across[static_cast<std::size_t>(x)], &v = down[static_cast<std::size_t>(y)];
      double sum[4] = {}, total = 0;
      for (std::size_t j = 0; j < v.weights.size(); ++j) {
        for (std::size_t i = 0; i < h.weights.size(); ++i) {
          const std::size_t from =
              offset(image, h.first + static_cast<int>(i), v.first + static_cast<int>(j));
          const double weight = h.weights[i] * v.weights[j], alpha = weight * image.rgba[from + 3];
          for (std::size_t c = 0; c < 3; ++c) sum[c] += alpha * image.rgba[from + c];
          sum[3] += alpha;
          total += weight;
        }
      }
      if (sum[3] <= 0) continue;
      result.set(x, y,
                 {byte(sum[0] / sum[3]), byte(sum[1] / sum[3]), byte(sum[2] / sum[3]), byte(sum[3] / total)});
    }
  }
  return result;
}

Image composed(const Image& under, const Image& over, double opacity) {
  if (under.width != over.width || under.height != over.height)
    throw Error(ErrorCode::internal, "two pictures that are laid on each other differ in size");
  Image result = under;
  for (int y = 0; y < over.height; ++y)
    for (int x = 0; x < over.width; ++x) result.blend(x, y, over.at(x, y), opacity);
  return result;
}

}  // namespace stumpwise::picture
