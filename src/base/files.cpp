#include "stumpwise/base/files.h"

#include <fcntl.h>
#include <sodium.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include "stumpwise/base/error.h"

namespace stumpwise::base {
namespace {

namespace fs = std::filesystem;

void start_sodium() {
  static const int state = sodium_init();
  if (state < 0) throw Error(ErrorCode::internal, "the random generator of the system cannot be used");
}

std::string hex(const unsigned char* bytes, std::size_t n) {
  std::string text(n * 2 + 1, '\0');
  sodium_bin2hex(text.data(), text.size(), bytes, n);
  text.pop_back();
  return text;
}

fs::path temporary_beside(const fs::path& path) {
  return path.parent_path() / ("." + path.stem().string() + "." + random_hex(6) + path.extension().string());
}

void flush_to_disk(const fs::path& path) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0) return;
  ::fsync(fd);
  ::close(fd);
}

}  // namespace

std::string read_file(const fs::path& path, std::size_t most_bytes) {
  std::error_code error;
  if (fs::is_directory(path, error))
    throw Error(ErrorCode::unreadable, path.string() + ": is a folder, not a file");
  std::ifstream in(path, std::ios::binary);
  if (!in) throw Error(ErrorCode::unreadable, path.string() + ": cannot be opened: " + std::strerror(errno));
  const auto size = fs::file_size(path, error);
  if (!error && size > most_bytes)
    throw Error(ErrorCode::unreadable, path.string() + ": " + std::to_string(size) +
                                           " bytes, more than the " + std::to_string(most_bytes) +
                                           " that are read");
  std::string text;
  text.assign(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
  if (in.bad())
    throw Error(ErrorCode::unreadable, path.string() + ": reading stopped: " + std::strerror(errno));
  return text;
}

void replace_atomic(const fs::path& path, const std::function<void(const fs::path&)>& write) {
  std::error_code error;
  if (path.has_parent_path()) fs::create_directories(path.parent_path(), error);
  if (error)
    throw Error(ErrorCode::store_failed, path.string() + ": its folder cannot be made: " + error.message());
  const fs::path temporary = temporary_beside(path);
  try {
    write(temporary);
    flush_to_disk(temporary);
    fs::rename(temporary, path);
  } catch (const fs::filesystem_error& failure) {
    fs::remove(temporary, error);
    throw Error(ErrorCode::store_failed, path.string() + ": cannot be written: " + failure.code().message());
  } catch (...) {
    fs::remove(temporary, error);
    throw;
  }
}

void write_file_atomic(const fs::path& path, std::string_view content) {
  replace_atomic(path, [&](const fs::path& temporary) {
    std::ofstream out(temporary, std::ios::binary);
    out.write(content.data(), static_cast<std::streamsize>(content.size()));
    out.close();
    if (!out)
      throw Error(ErrorCode::store_failed, path.string() + ": cannot be written: " + std::strerror(errno));
  });
}

std::string sha256(std::string_view bytes) {
  start_sodium();
  unsigned char digest[crypto_hash_sha256_BYTES];
  crypto_hash_sha256(digest, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  return hex(digest, sizeof digest);
}

std::string sha256_file(const fs::path& path) {
  start_sodium();
  std::ifstream in(path, std::ios::binary);
  if (!in) throw Error(ErrorCode::unreadable, path.string() + ": cannot be opened: " + std::strerror(errno));
  crypto_hash_sha256_state state;
  crypto_hash_sha256_init(&state);
  std::string block(std::size_t{1} << 20, '\0');
  while (in) {
    in.read(block.data(), static_cast<std::streamsize>(block.size()));
    crypto_hash_sha256_update(&state, reinterpret_cast<const unsigned char*>(block.data()),
                              static_cast<unsigned long long>(in.gcount()));
  }
  unsigned char digest[crypto_hash_sha256_BYTES];
  crypto_hash_sha256_final(&state, digest);
  return hex(digest, sizeof digest);
}

std::string random_hex(std::size_t bytes) {
  start_sodium();
  std::string raw(bytes, '\0');
  randombytes_buf(raw.data(), raw.size());
  return hex(reinterpret_cast<const unsigned char*>(raw.data()), raw.size());
}

TemporaryFolder::TemporaryFolder() : path_(fs::temp_directory_path() / ("stumpwise-" + random_hex(8))) {
  fs::create_directories(path_);
}

TemporaryFolder::~TemporaryFolder() {
  std::error_code ignored;
  fs::remove_all(path_, ignored);
}

fs::path data_folder() {
  if (const char* given = std::getenv("STUMPWISE_DATA")) return given;
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  if (!error) {
    for (fs::path folder = program.parent_path(); folder.has_relative_path(); folder = folder.parent_path()) {
      if (fs::exists(folder / "share/stumpwise/profiles", error)) return folder / "share/stumpwise";
      if (fs::exists(folder / "profiles/regions.toml", error)) return folder;
    }
  }
  throw Error(ErrorCode::not_found, "the folder with profiles/ and legends/ was not found",
              "Set STUMPWISE_DATA to the folder that holds them.");
}

}  // namespace stumpwise::base
