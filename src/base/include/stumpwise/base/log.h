#pragma once
#include <string_view>

namespace stumpwise::base {

/// Log lines go to stderr, never to stdout; debug lines only with STUMPWISE_LOG=debug.
void log_debug(std::string_view text);
void log_info(std::string_view text);
void log_warning(std::string_view text);

}  // namespace stumpwise::base
