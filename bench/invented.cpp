#include "invented.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "stumpwise/base/random.h"

namespace stumpwise::bench {
namespace {

using raster::Grid;
using raster::Quantity;

ground::CoverClass wood(int code, const char* genus, double share) {
  ground::CoverClass one;
  one.value = code;
  one.code = static_cast<std::uint8_t>(code);
  one.name = genus;
  one.canopy = 0.8;
  one.dead_wood = 0.2;
  one.genera[genus] = {share, share / 3};
  return one;
}

}  // namespace

ground::Layers invented_layers(int cells, int covariates, std::uint64_t seed) {
  ground::Layers layers;
  const int cols = std::max(1, static_cast<int>(std::lround(std::sqrt(cells))));
  layers.georef = {500000, 4'650'000, 10, cols, (cells + cols - 1) / cols, 32626};
  layers.latitude_deg = 42;
  layers.legend = {
      "invented", "invented", {wood(0, "Ulmus", 0.3), wood(1, "Fagus", 0.4), wood(2, "Picea", 0.5)}};
  base::Random random(seed);
  layers.cover = {layers.georef, std::vector<std::uint8_t>(layers.georef.size())};
  for (auto& code : layers.cover.codes) code = static_cast<std::uint8_t>(random.integer(0, 2));
  struct Layer {
    Grid ground::Layers::*grid;
    ground::Covariate covariate;
  };
  // In the order of the covariates behind host, dead wood and canopy.
  const std::array<Layer, 7> others{{{&ground::Layers::wetness, ground::Covariate::wetness},
                                     {&ground::Layers::heat_load, ground::Covariate::heat_load},
                                     {&ground::Layers::slope_deg, ground::Covariate::slope},
                                     {&ground::Layers::position_fine_m, ground::Covariate::position_fine},
                                     {&ground::Layers::position_broad_m, ground::Covariate::position_broad},
                                     {&ground::Layers::elevation_m, ground::Covariate::elevation},
                                     {&ground::Layers::water_distance_m, ground::Covariate::water_distance}}};
  layers.elevation_m = Grid(layers.georef, Quantity::elevation_m, 400);
  for (int k = 0; k < covariates - 3; ++k) {
    const ground::Standard& standard = ground::standards()[static_cast<std::size_t>(others[k].covariate)];
    Grid grid(layers.georef, Quantity::other, 0);
    for (float& v : grid.values)
      v = static_cast<float>(standard.centre + standard.scale * random.uniform(-1, 1));
    layers.*others[k].grid = std::move(grid);
  }
  return layers;
}

species::Profile invented_profile() {
  species::Profile profile;
  profile.id = "invented";
  profile.hosts = {{"Ulmus", 1.0, "assumption"}, {"Fagus", 0.4, "assumption"}};
  return profile;
}

ground::Coefficients invented_coefficients() {
  ground::Coefficients coefficients = ground::prior_coefficients({});
  for (int k = 1; k <= ground::kCovariates; ++k) coefficients.mean[k] = 0.1 * k;
  return coefficients;
}

ground::IndexByHeight invented_index() {
  return {{0, 500, 1000}, {0.5, 0.4, 0.2}, {0.3, 0.2, 0.1}, {0.7, 0.6, 0.4}};
}

weather::Series invented_weather(int days, std::uint64_t seed) {
  weather::Series series;
  series.station = {"invented", "invented", {.lat_deg = 42, .lon_deg = -30}, 300};
  base::Random random(seed);
  for (int i = 0; i < days; ++i) {
    const double mean = 10 - 11 * std::cos(2 * std::numbers::pi * (i - 20) / 365.25) + random.normal(0, 3);
    weather::Day day;
    day.date = base::plus_days(base::make_date(2000, 1, 1), i);
    day.tmin_degc = mean - 5;
    day.tmax_degc = mean + 5;
    day.precip_mm = random.chance(1.0 / 3) ? random.gamma(0.8, 9) : 0;
    series.days.push_back(day);
  }
  return series;
}

}  // namespace stumpwise::bench
