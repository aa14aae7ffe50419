#pragma once
#include <string_view>
#include <vector>

namespace stumpwise::serve {

/// A file of the built page, as it stood when the program was built.
struct PageFile {
  std::string_view path;  ///< "/index.html", "/assets/..."
  std::string_view bytes;
};

/// All of them; empty where the page was not built.
const std::vector<PageFile>& page_files();

}  // namespace stumpwise::serve
