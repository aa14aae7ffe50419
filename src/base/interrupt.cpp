#include "stumpwise/base/interrupt.h"

#include <atomic>
#include <csignal>

#include "stumpwise/base/error.h"

namespace stumpwise::base {
namespace {

std::atomic<bool> flag{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler may only touch lock-free atomics");

void on_signal(int) {
  flag.store(true);
}

}  // namespace

void catch_interrupts() {
  struct sigaction action {};
  action.sa_handler = on_signal;
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
}

bool interrupted() {
  return flag.load();
}

void check_interrupt() {
  if (interrupted()) throw Error(ErrorCode::cancelled, "stopped on request; nothing was left half-written");
}

void set_interrupted(bool value) {
  flag.store(value);
}

}  // namespace stumpwise::base
