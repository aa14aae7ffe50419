#pragma once
#include "stumpwise/ground/prospect.h"
#include "stumpwise/weather/series.h"

/// Invented input for timing; nothing that is measured depends on what it says.
namespace stumpwise::bench {

/// A ground of `cells` cells, nearly square, whose covariates roll about their centres. Cover gives host,
/// dead wood and canopy; of the others the first `covariates` - 3 are known, the rest are missing layers.
ground::Layers invented_layers(int cells, int covariates, std::uint64_t seed);
/// Hosts and coefficients under which every known covariate counts.
species::Profile invented_profile();
ground::Coefficients invented_coefficients();
ground::IndexByHeight invented_index();
/// A yearly wave of temperature and rain on a third of the days, from 1 January 2000.
weather::Series invented_weather(int days, std::uint64_t seed);

}  // namespace stumpwise::bench
