#include "stumpwise/base/parallel.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <cstdlib>
#include <string>
#include <thread>

namespace stumpwise::base {

int default_threads() {
  if (const char* given = std::getenv("STUMPWISE_THREADS")) return std::clamp(std::atoi(given), 1, 256);
  return static_cast<int>(std::max(1u, std::thread::hardware_concurrency()));
}

void parallel_ranges(std::size_t n, int threads, const std::function<void(std::size_t, std::size_t)>& body) {
  if (n == 0) return;
  if (threads <= 1) {
    body(0, n);
    return;
  }
  // More than the machine has would only draw a warning from the library.
  tbb::task_arena arena(
      std::min(threads, static_cast<int>(std::max(1u, std::thread::hardware_concurrency()))));
  arena.execute([&] {
    tbb::parallel_for(
        tbb::blocked_range<std::size_t>(0, n),
        [&](const tbb::blocked_range<std::size_t>& range) { body(range.begin(), range.end()); });
  });
}

}  // namespace stumpwise::base
