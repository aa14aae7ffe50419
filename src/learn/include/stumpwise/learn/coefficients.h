#pragma once
#include <string>

#include "stumpwise/ground/prospect.h"
#include "stumpwise/season/index.h"

namespace stumpwise::learn {

/// What the book keeps of a species on a ground: coefficients and the season and water variant they were
/// learned with.
struct Model {
  ground::Coefficients coefficients;
  season::Variant variant;
};

/// JSON of format 1: {"format":1,"model_version":"1","names":[...],"mean":[...],"covariance":[lower triangle
/// by rows],
/// "learned":bool,"outings":n,"finds":n,"variant":{"season_shift_days","t_shift_degc","rain_factor"}}.
/// Numbers come back bit for bit.
std::string model_to_json(const Model& model);
/// Error(stale_version) for another format or model version, Error(bad_format) for anything else that is
/// wrong: names in another order, numbers missing or not finite, a covariance that is not positive definite.
Model model_from_json(const std::string& json);

/// The same, without regard to the variant.
std::string coefficients_to_json(const ground::Coefficients& coefficients);
ground::Coefficients coefficients_from_json(const std::string& json);

}  // namespace stumpwise::learn
