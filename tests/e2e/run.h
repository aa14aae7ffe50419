#pragma once
// Runs the built program as a user's shell would, and looks at what it leaves behind.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <vector>

#include "stumpwise/base/files.h"

namespace stumpwise::e2e {

namespace fs = std::filesystem;
using Json = nlohmann::json;

/// No single command may take longer: a hang fails, it does not stop the tests.
constexpr unsigned kLongest_s = 120;

inline std::string program() {
  return std::string(STUMPWISE_BINARY_DIR) + "/stumpwise";
}

struct Answer {
  int status = -1;  ///< exit status; 1000 + the signal where one ended the program
  std::string out, err;
  Json json() const { return Json::parse(out); }
};

/// Folder of the shared open data; empty where it is not present.
inline fs::path shared_data() {
  const char* named = std::getenv("STUMPWISE_SHARED");
  const fs::path root = named ? fs::path(named) : fs::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
  for (const fs::path& path : {root / "data", root})
    if (fs::exists(path / "place")) return path;
  return {};
}

inline bool has_tool(const std::string& name) {
  return std::system(("command -v " + name + " >/dev/null 2>&1").c_str()) == 0;
}

/// The text with every run of blanks and line ends as one blank, so that a wrapped sentence can be found.
inline std::string unwrapped(const std::string& text) {
  std::string result;
  for (char c : text) {
    const bool blank = c == ' ' || c == '\n' || c == '\t';
    if (!blank)
      result += c;
    else if (!result.empty() && result.back() != ' ')
      result += ' ';
  }
  return result;
}

/// A desk with a folder of its own (the current folder of what is run there), the date it works on, and its
/// book.
class Desk {
 public:
  explicit Desk(const std::string& today = "2026-05-11") : folder_(scratch_.path() / "desk") {
    fs::create_directories(folder_);
    env_["STUMPWISE_BOOK"] = path("my.gpkg");
    env_["STUMPWISE_TODAY"] = today;
  }
  const fs::path& folder() const { return folder_; }
  std::string path(const std::string& name) const { return (folder_ / name).string(); }
  void set(const std::string& name, const std::string& value) { env_[name] = value; }

  Answer run(const std::vector<std::string>& words) const { return finish(start(program(), words)); }
  Answer tool(const std::string& name, const std::vector<std::string>& words) const {
    return finish(start(name, words));
  }
  /// Runs and asserts success; the JSON of the answer.
  Json json(std::vector<std::string> words) const {
    words.push_back("--json");
    const Answer answer = run(words);
    EXPECT_EQ(answer.status, 0) << answer.err;
    return answer.status == 0 ? answer.json() : Json();
  }
  /// Starts, waits until `now` is true, presses Ctrl-C. `pressed` tells whether the program was still at work
  /// then.
  Answer interrupted(const std::vector<std::string>& words, const std::function<bool()>& now,
                     bool& pressed) const {
    const pid_t child = start(program(), words);
    pressed = false;
    for (int i = 0; i < 60'000 && !pressed; ++i) {
      siginfo_t info{};
      if (waitid(P_PID, static_cast<id_t>(child), &info, WEXITED | WNOHANG | WNOWAIT) == 0 &&
          info.si_pid == child)
        break;
      if (now()) {
        kill(child, SIGINT);
        pressed = true;
      } else {
        std::this_thread::sleep_for(std::chrono::milliseconds{1});
      }
    }
    return finish(child);
  }

  /// Every file and folder below, with the SHA-256 of each file; the book with what it holds instead, since
  /// opening a book alone turns its journal on and off.
  std::map<std::string, std::string> listing() const {
    std::map<std::string, std::string> all;
    for (const auto& entry : fs::recursive_directory_iterator(folder_)) {
      const std::string name = fs::relative(entry.path(), folder_).string();
      if (entry.is_directory())
        all[name] = "folder";
      else
        all[name] =
            entry.path().extension() == ".gpkg" ? contents(entry.path()) : base::sha256_file(entry.path());
    }
    return all;
  }

 private:
  pid_t start(const std::string& name, const std::vector<std::string>& words) const {
    std::vector<std::string> all{name};
    all.insert(all.end(), words.begin(), words.end());
    std::vector<char*> argv;
    for (std::string& each : all) argv.push_back(each.data());
    argv.push_back(nullptr);
    const std::string out = (scratch_.path() / "out").string(), err = (scratch_.path() / "err").string();
    const pid_t child = fork();
    if (child == 0) {
      for (const auto& [key, value] : env_) setenv(key.c_str(), value.c_str(), 1);
      // Not freopen: it would print what our own buffer still holds.
      const int files[]{open("/dev/null", O_RDONLY), open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600),
                        open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600)};
      for (int i = 0; i < 3; ++i)
        if (files[i] < 0 || dup2(files[i], i) < 0) _exit(126);
      if (chdir(folder_.c_str()) != 0) _exit(126);
      alarm(kLongest_s);
      execvp(argv[0], argv.data());
      _exit(127);
    }
    return child;
  }
  Answer finish(pid_t child) const {
    int status = 0;
    waitpid(child, &status, 0);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status),
            base::read_file(scratch_.path() / "out"), base::read_file(scratch_.path() / "err")};
  }
  /// All rows of a book as text, by a program that is not ours; the bytes where it is no database.
  std::string contents(const fs::path& file) const {
    static const bool cli = has_tool("sqlite3");
    const std::string script =
        "import sqlite3,sys\nfor l in sqlite3.connect('file:'+sys.argv[1]+'?mode=ro',uri=True).iterdump(): "
        "print(l)";
    const Answer dump = cli ? tool("sqlite3", {"-readonly", file.string(), ".dump"})
                            : tool("python3", {"-c", script, file.string()});
    return dump.status == 0 && dump.out.size() > 200 ? base::sha256(dump.out) : base::sha256_file(file);
  }

  base::TemporaryFolder scratch_;
  fs::path folder_;
  std::map<std::string, std::string> env_;
};

/// A raster's band as plain numbers, through GDAL's own tools and none of our readers.
inline std::vector<float> raw_band(const Desk& desk, const std::string& file, int band = 1) {
  base::TemporaryFolder folder;
  const fs::path flat = folder.path() / "flat.bin";
  const Answer answer = desk.tool("gdal_translate", {"-q", "-of", "ENVI", "-ot", "Float32", "-b",
                                                     std::to_string(band), file, flat.string()});
  EXPECT_EQ(answer.status, 0) << answer.err;
  if (answer.status != 0) return {};
  const std::string bytes = base::read_file(flat);
  std::vector<float> values(bytes.size() / sizeof(float));
  std::copy(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(values.size() * sizeof(float)),
            reinterpret_cast<char*>(values.data()));
  return values;
}

inline Json gdalinfo(const Desk& desk, const std::string& file) {
  const Answer answer = desk.tool("gdalinfo", {"-json", file});
  EXPECT_EQ(answer.status, 0) << answer.err;
  return answer.status == 0 ? Json::parse(answer.out) : Json();
}

inline std::vector<std::string> caution_ids(const Json& answer) {
  std::vector<std::string> ids;
  for (const Json& each : answer.at("cautions")) ids.push_back(each.at("id").get<std::string>());
  return ids;
}

inline std::string notes_of(const Json& answer) {
  std::string all;
  for (const Json& each : answer.at("notes")) all += each.get<std::string>() + "\n";
  return all;
}

inline void write_text(const fs::path& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

}  // namespace stumpwise::e2e
