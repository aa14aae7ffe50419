// Blobs of a book that somebody else wrote: geometries and tracks.
#include "geometry.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  const std::string blob(fuzz::text_of(data, size));
  book::blob_bounds(blob.data(), blob.size());
  fuzz::only_errors([&] { book::read_point(blob); });
  fuzz::only_errors([&] { book::read_polygon(blob); });
  fuzz::only_errors([&] {
    const auto track = book::unpack_track(blob);
    fuzz::require(book::unpack_track(book::pack_track(track)).size() == track.size(),
                  "no track point is lost");
    book::track_blob(track);
  });
  return 0;
}
