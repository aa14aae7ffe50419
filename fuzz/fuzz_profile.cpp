// One profile of a folder whose other tables are the project's own.
#include "stumpwise/species/library.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace stumpwise;
  namespace fs = std::filesystem;
  const fs::path profile = fuzz::scratch_file(fuzz::text_of(data, size), "profiles/taxa/input.toml");
  const fs::path folder = profile.parent_path().parent_path().parent_path();
  for (const char* table :
       {"characters.toml", "guilds.toml", "regions.toml", "sources.toml", "syndromes.toml"})
    if (!fs::exists(folder / "profiles" / table))
      fs::copy_file(fs::path(STUMPWISE_SOURCE_DIR) / "profiles" / table, folder / "profiles" / table);
  fuzz::only_errors([&] {
    const auto parsed = species::Library::read(folder);
    species::check_library(parsed.value);
    species::provenance(parsed.value);
  });
  return 0;
}
