#pragma once
#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "stumpwise/base/error.h"

namespace stumpwise::cli {

/// Error(bad_usage) for words that were not understood: which, and the nearest command or option.
Error words_off(CLI::App& app, const std::vector<std::string>& given, const CLI::ParseError& fault);

/// "stumpwise ground add".
std::string full_name(const CLI::App& app);

}  // namespace stumpwise::cli
