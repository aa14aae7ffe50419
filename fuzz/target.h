#pragma once
// What every target shares: bytes as text, a file for readers that want a path, and what counts as a fault.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace stumpwise::fuzz {

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

/// Whatever stands in a file, the one way to refuse it is an Error; all else ends the program here.
template <class Work>
void only_errors(Work work) {
  try {
    work();
  } catch (const Error&) {  // NOLINT(bugprone-empty-catch): refusing is what is asked for
  }
}

inline void require(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "broken: %s\n", what);
  std::abort();
}

/// A file with the given content that the next one overwrites.
inline std::filesystem::path scratch_file(std::string_view content, const char* name) {
  static const base::TemporaryFolder folder;
  const std::filesystem::path path = folder.path() / name;
  std::filesystem::create_directories(path.parent_path());
  std::ofstream(path, std::ios::binary).write(content.data(), static_cast<std::streamsize>(content.size()));
  return path;
}

}  // namespace stumpwise::fuzz
