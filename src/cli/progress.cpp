#include "progress.h"

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <memory>
#include <mutex>
#include <string>

#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

using Clock = std::chrono::steady_clock;

class Bar {
 public:
  ~Bar() {
    if (drawn_) std::fputs("\r\x1b[K", stderr);
  }
  void show(double share, const std::string& step) {
    const std::lock_guard lock(mutex_);
    const auto now = Clock::now();
    if (now - begin_ < std::chrono::seconds{1} || now - last_ < std::chrono::milliseconds{100}) return;
    last_ = now;
    drawn_ = true;
    constexpr int kCells = 24;
    const int full = static_cast<int>(std::clamp(share, 0.0, 1.0) * kCells);
    const std::string text = "[" + std::string(static_cast<std::size_t>(full), '#') +
                             std::string(static_cast<std::size_t>(kCells - full), '.') + "] " +
                             base::printable(step).substr(0, 50);
    std::fprintf(stderr, "\r\x1b[K%s", text.c_str());
    std::fflush(stderr);
  }

 private:
  std::mutex mutex_;
  Clock::time_point begin_ = Clock::now(), last_{};
  bool drawn_ = false;
};

}  // namespace

base::Progress progress_bar() {
  if (!isatty(STDERR_FILENO)) return {};
  return [bar = std::make_shared<Bar>()](double share, const std::string& step) { bar->show(share, step); };
}

}  // namespace stumpwise::cli
