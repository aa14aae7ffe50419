#include "stumpwise/walk/route.h"

#include <cmath>

namespace stumpwise::walk {

double probability_of_detection(double coverage) { return -std::expm1(-coverage); }

double expected_finds(double n, double sweep_width_m, double length_m, double area_m2) { return n * probability_of_detection(sweep_width_m * length_m / area_m2); }

double rate_to_come(double n_mean, double r, double coverage, int found, double sweep_width_m, double area_m2) {
  return (r + found) / (r / n_mean + probability_of_detection(coverage)) * std::exp(-coverage) * sweep_width_m / area_m2;
}

}  // namespace stumpwise::walk
