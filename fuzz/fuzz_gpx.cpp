#include "stumpwise/exchange/gpx.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  fuzz::only_errors([&] {
    const auto first = exchange::read_gpx(std::string(fuzz::text_of(data, size)), "input.gpx");
    const auto again = exchange::read_gpx(exchange::write_gpx(first.value), "again.gpx");
    fuzz::require(again.ok(), "what was written can be read");
    fuzz::require(again.value.waypoints.size() == first.value.waypoints.size(), "no waypoint is lost");
    fuzz::require(exchange::track_points(again.value).size() == exchange::track_points(first.value).size(),
                  "no track point is lost");
  });
  return 0;
}
