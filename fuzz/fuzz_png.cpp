#include "stumpwise/picture/image.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  fuzz::only_errors([&] {
    const picture::Image image = picture::decode_png(fuzz::text_of(data, size));
    const picture::Image again = picture::decode_png(picture::encode_png(image));
    fuzz::require(again.rgba == image.rgba, "a picture comes back as it was");
  });
  return 0;
}
