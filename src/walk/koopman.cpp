#include <cmath>
#include <string>

#include "stumpwise/base/error.h"
#include "stumpwise/walk/route.h"

namespace stumpwise::walk {
namespace {

void require(bool good, const char* what, double value, const char* range) {
  if (!good)
    throw Error(ErrorCode::bad_value, std::string(what) + " " + std::to_string(value) + ": " + range);
}

}  // namespace

double probability_of_detection(double coverage) {
  require(coverage >= 0, "coverage", coverage, "at least 0");
  return -std::expm1(-coverage);
}

double expected_finds(double n, double sweep_width_m, double length_m, double area_m2) {
  require(n >= 0, "finds standing", n, "at least 0");
  require(sweep_width_m >= 0, "sweep width", sweep_width_m, "at least 0 m");
  require(length_m >= 0, "length searched", length_m, "at least 0 m");
  require(area_m2 > 0, "area", area_m2, "above 0 square metres");
  return n * probability_of_detection(sweep_width_m * length_m / area_m2);
}

double rate_to_come(double n_mean, double r, double coverage, int found, double sweep_width_m,
                    double area_m2) {
  require(n_mean >= 0, "finds standing", n_mean, "at least 0");
  require(r > 0, "shape", r, "above 0");
  require(coverage >= 0, "coverage", coverage, "at least 0");
  require(found >= 0, "finds made", found, "at least 0");
  require(sweep_width_m >= 0, "sweep width", sweep_width_m, "at least 0 m");
  require(area_m2 > 0, "area", area_m2, "above 0 square metres");
  if (n_mean == 0) return 0;
  return (r + found) / (r / n_mean + probability_of_detection(coverage)) * std::exp(-coverage) *
         sweep_width_m / area_m2;
}

double leave_after_min(double n_mean, double r, int found, double search_per_min, double average_per_min) {
  require(search_per_min > 0, "share searched per minute", search_per_min, "above 0");
  if (!(n_mean > 0)) return 0;
  require(average_per_min > 0, "average rate", average_per_min, "above 0 finds a minute");
  // (r + n) q / (r / N + 1 - q) = average / search, solved for q = exp(-C).
  const double wanted = average_per_min / search_per_min;
  const double q = wanted * (r / n_mean + 1) / (r + found + wanted);
  return q >= 1 ? 0 : -std::log(q) / search_per_min;
}

}  // namespace stumpwise::walk
