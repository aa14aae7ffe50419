#pragma once
#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

namespace stumpwise::base {

/// The whole file; throws Error(unreadable) where it cannot be read or is larger than `most_bytes`.
std::string read_file(const std::filesystem::path& path, std::size_t most_bytes = std::size_t{512} << 20);

/// Writes beside the target, flushes to the disk, then renames: the target is the old file or the whole new
/// one.
void write_file_atomic(const std::filesystem::path& path, std::string_view content);

/// Lets `write` make a temporary file beside the target (same extension), then renames it into place. If
/// `write` throws, the temporary file is removed and the target is as it was.
void replace_atomic(const std::filesystem::path& path,
                    const std::function<void(const std::filesystem::path&)>& write);

/// SHA-256 as 64 hex digits (libsodium).
std::string sha256(std::string_view bytes);
std::string sha256_file(const std::filesystem::path& path);
/// `bytes` random bytes as hex, from the system's generator (libsodium).
std::string random_hex(std::size_t bytes);

/// A folder of its own under the system's temporary folder, removed with everything in it at the end of its
/// life.
class TemporaryFolder {
 public:
  TemporaryFolder();
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// The folder of data that the program reads (profiles, legends): STUMPWISE_DATA, else beside the program's
/// prefix (share/stumpwise), else the source tree that it was built from.
std::filesystem::path data_folder();

}  // namespace stumpwise::base
