#pragma once
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>

#include "stumpwise/app/session.h"

namespace stumpwise::app {

struct SporesRequest {
  std::string file;
  std::optional<double> um_per_div;                      ///< micrometres per division of the eyepiece scale
  std::optional<std::pair<double, double>> calibration;  ///< divisions, micrometres of the stage micrometer
  std::string species;                                   ///< held against the sample in full; empty: none
  std::string against;                                   ///< sizes as a description prints them; empty: none
};

/// Statistics of measured spores, and how they lie against the profiles: dangers first. Needs no book.
nlohmann::json spores(Session& session, const SporesRequest& request);

}  // namespace stumpwise::app
