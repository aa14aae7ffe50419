#include "stumpwise/walk/laws.h"

#include <cmath>
#include <string>

#include "stumpwise/base/error.h"

namespace stumpwise::walk {
namespace {

void require_not_negative(double value_m, const char* what) {
  if (!(value_m >= 0))
    throw Error(ErrorCode::bad_value,
                std::string(what) + " " + std::to_string(value_m) + ": at least 0 metres");
}

}  // namespace

double naismith_flat_m(double distance_m, double climb_m, double ratio) {
  require_not_negative(distance_m, "distance");
  require_not_negative(climb_m, "climb");
  return distance_m + ratio * climb_m;
}

double naismith_min(double distance_m, double climb_m) {
  require_not_negative(distance_m, "distance");
  require_not_negative(climb_m, "climb");
  return 60 * (distance_m / 5000 + climb_m / 600);
}

double langmuir_min(double distance_m, double climb_m, double gentle_descent_m, double steep_descent_m,
                    double speed_km_per_h) {
  require_not_negative(distance_m, "distance");
  require_not_negative(climb_m, "climb");
  require_not_negative(gentle_descent_m, "gentle descent");
  require_not_negative(steep_descent_m, "steep descent");
  if (!(speed_km_per_h > 0))
    throw Error(ErrorCode::bad_value, "speed " + std::to_string(speed_km_per_h) + ": above 0 km/h");
  return 60 * distance_m / (1000 * speed_km_per_h) + 10 * climb_m / 100 - 10 * gentle_descent_m / 300 +
         10 * steep_descent_m / 300;
}

double irmischer_m_per_s(double slope, bool on_path, Walker walker) {
  const double off = on_path ? 5 : 2, share = on_path ? 1 : 0.67;
  const double from_best = 100 * slope + off;
  const double speed = 0.11 + share * std::exp(-from_best * from_best / 1800);
  return walker == Walker::man ? speed : 0.95 * speed;
}

}  // namespace stumpwise::walk
