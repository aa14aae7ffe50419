#include "stumpwise/weather/read.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  const std::string path = fuzz::scratch_file(fuzz::text_of(data, size), "station.dly").string();
  fuzz::only_errors([&] {
    for (const weather::Day& day : weather::read_ghcn_dly(path).value.days)
      fuzz::require(!day.tmin_degc || !day.tmax_degc || *day.tmin_degc <= *day.tmax_degc,
                    "tmin is not above tmax");
  });
  return 0;
}
