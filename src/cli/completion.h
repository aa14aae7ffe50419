#pragma once
#include <CLI/CLI.hpp>
#include <string>

namespace stumpwise::cli {

/// A script that makes the shell complete commands and options of the tree below `app`; files where a value
/// stands.
std::string bash_completion(CLI::App& app);
std::string zsh_completion(CLI::App& app);

}  // namespace stumpwise::cli
