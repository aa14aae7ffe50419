#pragma once
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "stumpwise/base/files.h"

/// Runs the built program as a user's shell would.
namespace stumpwise::cli_test {

inline std::filesystem::path program() {
  return std::filesystem::path(STUMPWISE_BINARY_DIR) / "stumpwise";
}

struct Ran {
  int status = -1;
  std::string out, err;
};

inline std::string quoted(const std::string& word) {
  std::string result = "'";
  for (char c : word) result += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return result + "'";
}

/// A line of the shell, its output caught; `environment` like "A=1 B=2".
inline Ran shell(const std::string& line, const std::string& environment = {}) {
  const base::TemporaryFolder folder;
  const auto out = folder.path() / "out", err = folder.path() / "err";
  const std::string whole = "unset STUMPWISE_BOOK STUMPWISE_TODAY; " +
                            (environment.empty() ? "" : "export " + environment + "; ") + line;
  const std::string command =
      "bash -c " + quoted(whole) + " >" + quoted(out.string()) + " 2>" + quoted(err.string());
  const int ended = std::system(command.c_str());
  return {WIFEXITED(ended) ? WEXITSTATUS(ended) : -1, base::read_file(out), base::read_file(err)};
}

inline Ran run(const std::vector<std::string>& words, const std::string& environment = {}) {
  std::string line = quoted(program().string());
  for (const std::string& word : words) line += " " + quoted(word);
  return shell(line, environment);
}

}  // namespace stumpwise::cli_test

/// The program is no part of what a module's tests are built from.
#define NEEDS_THE_PROGRAM()                                     \
  if (!std::filesystem::exists(stumpwise::cli_test::program())) \
  GTEST_SKIP() << "the program stumpwise is not built"
