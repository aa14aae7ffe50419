// Where no fuzzer is linked, each target runs over its seeds and any other files given: `fuzz_gpx FILE...`.
#include <algorithm>
#include <vector>

#include "target.h"

int main(int argc, char** argv) {
  namespace fs = std::filesystem;
  std::vector<fs::path> inputs(argv + 1, argv + argc);
  if (inputs.empty())
    for (const auto& entry : fs::directory_iterator(STUMPWISE_SEEDS)) inputs.push_back(entry.path());
  std::sort(inputs.begin(), inputs.end());
  LLVMFuzzerTestOneInput(nullptr, 0);
  for (const fs::path& input : inputs) {
    const std::string content = stumpwise::base::read_file(input);
    LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(content.data()), content.size());
    // Half of every seed as well: a file that was cut off.
    LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(content.data()), content.size() / 2);
  }
  std::printf("%s: %zu inputs\n", fs::path(argv[0]).filename().c_str(), inputs.size());
  return inputs.empty() ? 1 : 0;
}
