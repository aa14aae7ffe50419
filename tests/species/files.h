#pragma once
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string>

#include "stumpwise/base/files.h"
#include "stumpwise/species/library.h"

namespace stumpwise::species::testing_files {

inline std::filesystem::path source() {
  return STUMPWISE_SOURCE_DIR;
}

/// The folder of the shared data, which may be absent. STUMPWISE_SHARED may name it or what holds it.
inline std::filesystem::path shared_data() {
  const char* shared = std::getenv("STUMPWISE_SHARED");
  if (!shared) return source() / ".." / "shared" / "data";
  const std::filesystem::path folder = shared;
  return std::filesystem::exists(folder / "data") ? folder / "data" : folder;
}

inline const Library& book() {
  static const Library library = base::value_or_throw(Library::read(source()), "profiles");
  return library;
}

/// A copy of the profiles in which faults can be planted.
class Copy {
 public:
  Copy() {
    std::filesystem::copy(source() / "profiles", folder_.path() / "profiles",
                          std::filesystem::copy_options::recursive);
  }
  std::filesystem::path path(const std::string& file) const { return folder_.path() / "profiles" / file; }
  /// Replaces the first `from` and returns the line on which it stood.
  int replace(const std::string& file, const std::string& from, const std::string& to) {
    std::string text = base::read_file(path(file));
    const std::size_t place = text.find(from);
    if (place == std::string::npos) throw std::runtime_error(file + " does not hold: " + from);
    int line = 1;
    for (std::size_t i = 0; i < place; ++i) line += text[i] == '\n';
    text.replace(place, from.size(), to);
    base::write_file_atomic(path(file), text);
    return line;
  }
  /// Replaces the line "key = ..." that comes first after `anchor` by `line` and returns its number.
  int set_line(const std::string& file, const std::string& anchor, const std::string& key,
               const std::string& line) {
    std::string text = base::read_file(path(file));
    const std::size_t from = text.find(anchor);
    const std::size_t place = from == std::string::npos ? from : text.find("\n" + key + " = ", from);
    if (place == std::string::npos) throw std::runtime_error(file + " has no " + key + " after " + anchor);
    const std::size_t end = text.find('\n', place + 1);
    const int number = 2 + static_cast<int>(std::count(
                               text.begin(), text.begin() + static_cast<std::ptrdiff_t>(place), '\n'));
    text.replace(place + 1, end - place - 1, line);
    base::write_file_atomic(path(file), text);
    return number;
  }
  void append(const std::string& file, const std::string& more) {
    base::write_file_atomic(path(file), base::read_file(path(file)) + more);
  }
  Parsed<Library> read() const { return Library::read(folder_.path()); }

 private:
  base::TemporaryFolder folder_;
};

}  // namespace stumpwise::species::testing_files
