#pragma once
// Private to book: the steps that bring a file to the newest format. A step that has been released is never
// changed.
#include <string>
#include <vector>

namespace stumpwise::book {

struct Migration {
  int version = 0;
  std::string what, sql;
};

/// In order of version, from 1. docs/book-format.md describes what they make.
const std::vector<Migration>& migrations();
inline int newest_version() {
  return migrations().back().version;
}

}  // namespace stumpwise::book
