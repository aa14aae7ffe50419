#pragma once
#include <filesystem>
#include <stdexcept>
#include <string>

#include "stumpwise/base/files.h"
#include "stumpwise/species/library.h"

namespace stumpwise::species::testing_files {

inline std::filesystem::path source() {
  return STUMPWISE_SOURCE_DIR;
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
  void append(const std::string& file, const std::string& more) {
    base::write_file_atomic(path(file), base::read_file(path(file)) + more);
  }
  Parsed<Library> read() const { return Library::read(folder_.path()); }

 private:
  base::TemporaryFolder folder_;
};

}  // namespace stumpwise::species::testing_files
