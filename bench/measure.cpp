#include "measure.h"

#include <sys/resource.h>

#include <chrono>
#include <cmath>
#include <fstream>
#include <string>

namespace stumpwise::bench {
namespace {

double wall_now_s() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

double seconds(const timeval& time) {
  return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
}

double cpu_now_s() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

}  // namespace

Meter::Meter() {
  std::ofstream("/proc/self/clear_refs") << "5";
  wall_s_ = wall_now_s();
  cpu_s_ = cpu_now_s();
}

double Meter::wall_seconds() const {
  return rounded(wall_now_s() - wall_s_);
}

double Meter::cpu_seconds() const {
  return rounded(cpu_now_s() - cpu_s_);
}

double Meter::peak_mb() {
  std::ifstream status("/proc/self/status");
  for (std::string word; status >> word;)
    if (word == "VmHWM:") {
      double kib = 0;
      status >> kib;
      return rounded(kib * 1024 / 1e6);
    }
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return rounded(static_cast<double>(usage.ru_maxrss) * 1024 / 1e6);
}

double rounded(double value) {
  return std::round(value * 1e6) / 1e6;
}

}  // namespace stumpwise::bench
