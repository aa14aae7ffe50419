#include "stumpwise/ground/layers.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  const std::string path = fuzz::scratch_file(fuzz::text_of(data, size), "legend.toml").string();
  fuzz::only_errors([&] {
    const auto parsed = ground::read_legend(path);
    if (!parsed.ok()) return;
    for (const ground::CoverClass& one : parsed.value.classes) {
      fuzz::require(one.canopy >= 0 && one.canopy <= 1, "canopy is a share");
      fuzz::require(one.code != raster::ClassGrid::kNone, "no class has the code of none");
    }
  });
  return 0;
}
