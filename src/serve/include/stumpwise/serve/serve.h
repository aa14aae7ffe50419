#pragma once
#include <filesystem>

namespace stumpwise::serve {

inline constexpr int kUsualPort = 7311;

struct ServeOptions {
  std::filesystem::path book;  ///< must exist
  int port = kUsualPort;       ///< 1 to 65535; 0: any that is free
  bool print_url = true;       ///< on stdout, with the session's token behind the #
};

/// Answers the page and api/openapi.yaml on 127.0.0.1 until Ctrl-C; then lets running answers end. Gives the
/// exit status (0). Throws Error where the book cannot be opened, the port is out of range (bad_usage) or
/// taken (not_possible).
int serve(const ServeOptions& options);

}  // namespace stumpwise::serve
