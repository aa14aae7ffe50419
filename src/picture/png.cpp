#include <fmt/format.h>
#include <png.h>

#include <algorithm>
#include <csetjmp>
#include <cstring>

#include "stumpwise/base/error.h"
#include "stumpwise/picture/image.h"

namespace stumpwise::picture {
namespace {

constexpr int kLongestSide = 16384;

/// libpng gives up by a jump. It lands in functions that hold nothing with a destructor; the text is kept
/// here.
struct Failure {
  char text[128] = {};
};

[[noreturn]] void on_error(png_structp png, png_const_charp message) {
  auto* failure = static_cast<Failure*>(png_get_error_ptr(png));
  std::strncpy(failure->text, message, sizeof failure->text - 1);
  png_longjmp(png, 1);
}
void on_warning(png_structp, png_const_charp) {}

void append(png_structp png, png_bytep data, png_size_t size) {
  static_cast<std::string*>(png_get_io_ptr(png))->append(reinterpret_cast<const char*>(data), size);
}
void no_flush(png_structp) {}

struct Reader {
  std::string_view bytes;
  std::size_t at = 0;
};
void take(png_structp png, png_bytep data, png_size_t size) {
  auto* reader = static_cast<Reader*>(png_get_io_ptr(png));
  if (reader->bytes.size() - reader->at < size) png_error(png, "it ends too early");
  std::memcpy(data, reader->bytes.data() + reader->at, size);
  reader->at += size;
}

/// libpng's two handles, freed at the end.
struct Writing {
  Failure failure;
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &failure, on_error, on_warning);
  png_infop info = png ? png_create_info_struct(png) : nullptr;
  ~Writing() { png_destroy_write_struct(&png, &info); }
};
struct Reading {
  Failure failure;
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &failure, on_error, on_warning);
  png_infop info = png ? png_create_info_struct(png) : nullptr;
  ~Reading() { png_destroy_read_struct(&png, &info, nullptr); }
};

bool write_all(png_structp png, png_infop info, const Image& image) {
  if (setjmp(png_jmpbuf(png))) return false;
  png_set_IHDR(png, info, static_cast<png_uint_32>(image.width), static_cast<png_uint_32>(image.height), 8,
               PNG_COLOR_TYPE_RGB_ALPHA, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
               PNG_FILTER_TYPE_DEFAULT);
  png_set_compression_level(png, 6);
  png_write_info(png, info);
  for (int y = 0; y < image.height; ++y)
    png_write_row(png, image.rgba.data() + static_cast<std::size_t>(y) * image.width * 4);
  png_write_end(png, nullptr);
  return true;
}

/// Everything up to the pixels; they will be 8 bit RGBA.
bool read_header(png_structp png, png_infop info) {
  if (setjmp(png_jmpbuf(png))) return false;
  png_set_user_limits(png, 0x7fffffff, 0x7fffffff);  // the size is judged by the caller, with a clear message
  png_read_info(png, info);
  png_set_expand(png);
  png_set_scale_16(png);
  png_set_gray_to_rgb(png);
  png_set_add_alpha(png, 255, PNG_FILLER_AFTER);
  return true;
}

bool read_rows(png_structp png, png_infop info, Image& image) {
  if (setjmp(png_jmpbuf(png))) return false;
  const int passes = png_set_interlace_handling(png);
  png_read_update_info(png, info);
  if (png_get_rowbytes(png, info) != static_cast<png_size_t>(image.width) * 4)
    png_error(png, "its pixels cannot be turned into RGBA");
  for (int pass = 0; pass < passes; ++pass)
    for (int y = 0; y < image.height; ++y)
      png_read_row(png, image.rgba.data() + static_cast<std::size_t>(y) * image.width * 4, nullptr);
  png_read_end(png, nullptr);
  return true;
}

void require_size(long long width, long long height) {
  if (width < 1 || height < 1 || width > kLongestSide || height > kLongestSide)
    throw Error(ErrorCode::bad_value,
                fmt::format("picture of {} x {} pixels: 1 to {} a side", width, height, kLongestSide));
}

}  // namespace

std::string encode_png(const Image& image) {
  require_size(image.width, image.height);
  std::string bytes;
  const Writing writing;
  if (!writing.info) throw Error(ErrorCode::internal, "no memory for a picture");
  png_set_write_fn(writing.png, &bytes, append, no_flush);
  if (!write_all(writing.png, writing.info, image))
    throw Error(ErrorCode::internal, std::string("a picture could not be written: ") + writing.failure.text);
  return bytes;
}

Image decode_png(std::string_view bytes) {
  const Reading reading;
  if (!reading.info) throw Error(ErrorCode::internal, "no memory for a picture");
  Reader reader{bytes, 0};
  png_set_read_fn(reading.png, &reader, take);
  const auto refused = [&] {
    return Error(ErrorCode::bad_format,
                 std::string("the picture is no PNG that can be read: ") + reading.failure.text);
  };
  if (!read_header(reading.png, reading.info)) throw refused();
  const png_uint_32 width = png_get_image_width(reading.png, reading.info);
  const png_uint_32 height = png_get_image_height(reading.png, reading.info);
  require_size(width, height);
  Image image(static_cast<int>(width), static_cast<int>(height));
  if (!read_rows(reading.png, reading.info, image)) throw refused();
  return image;
}

}  // namespace stumpwise::picture
