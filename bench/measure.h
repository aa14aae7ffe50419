#pragma once
#include <nlohmann/json.hpp>

namespace stumpwise::bench {

/// Wall time, processor time of all threads and highest resident memory since its making.
class Meter {
 public:
  /// Sets the system's high-water mark of memory back where it can be (Linux), so that what came before does
  /// not count.
  Meter();
  double wall_seconds() const;
  double cpu_seconds() const;
  static double peak_mb();  ///< 10^6 bytes

 private:
  double wall_s_, cpu_s_;
};

/// Rounded to the microsecond or kilobyte: more digits are noise.
double rounded(double value);

}  // namespace stumpwise::bench
