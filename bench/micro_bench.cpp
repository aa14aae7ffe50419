// Single functions on invented input: `./dev bench`, or build/release/micro_bench --benchmark_filter=Travel
#include <benchmark/benchmark.h>

#include "invented.h"
#include "noise.h"
#include "stumpwise/raster/vector.h"
#include "stumpwise/season/index.h"
#include "stumpwise/terrain/slope.h"
#include "stumpwise/walk/travel.h"
#include "stumpwise/weather/site.h"

namespace stumpwise::bench {
namespace {

void slope_aspect(benchmark::State& state) {
  const raster::Grid dem = noise_land(1024, 42);
  for (auto _ : state)
    benchmark::DoNotOptimize(
        terrain::slope_aspect(dem, static_cast<int>(state.range(0))).slope_deg.values.data());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(dem.values.size()));
}
BENCHMARK(slope_aspect)->ArgName("threads")->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

void distance_to(benchmark::State& state) {
  raster::Grid marked(noise_land(1024, 42).georef, raster::Quantity::flag, 0);
  for (std::size_t i = 0; i < marked.values.size(); i += 997) marked.values[i] = 1;
  for (auto _ : state) benchmark::DoNotOptimize(raster::distance_to(marked).values.data());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(marked.values.size()));
}
BENCHMARK(distance_to)->Unit(benchmark::kMillisecond);

void index_series(benchmark::State& state) {
  weather::Site site;
  site.place = {.lat_deg = 42, .lon_deg = -30};
  site.elevation_m = 300;
  const auto days = weather::run_site(invented_weather(static_cast<int>(state.range(0)) * 365, 7), site);
  const species::Triggers triggers = [] {
    species::Triggers t;
    t.season = {{130, 20, 1, true}};
    return t;
  }();
  for (auto _ : state) benchmark::DoNotOptimize(season::index_series(triggers, site, days).data());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(days.size()));
}
BENCHMARK(index_series)->ArgName("years")->Arg(4)->Arg(30)->Unit(benchmark::kMicrosecond);

void prospect_median(benchmark::State& state) {
  const ground::Layers layers = invented_layers(1'000'000, ground::kCovariates, 1);
  const species::Profile profile = invented_profile();
  const ground::CovariateField field(layers, profile);
  const ground::Coefficients coefficients = invented_coefficients();
  const ground::IndexByHeight index = invented_index();
  for (auto _ : state)
    benchmark::DoNotOptimize(
        ground::prospect_median(field, coefficients, index, static_cast<int>(state.range(0))).values.data());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(layers.georef.size()));
}
BENCHMARK(prospect_median)->ArgName("threads")->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

void travel_field(benchmark::State& state) {
  raster::Grid dem = noise_land(512, 42);
  for (float& z : dem.values) z *= 0.3f;  // hills, not alps: 600 m over 5 km
  const walk::TravelGround ground{&dem, nullptr};
  const earth::PlanePoint middle{dem.georef.x_of(256), dem.georef.y_of(256)};
  for (auto _ : state) {
    const walk::TravelField field(ground, middle, false, 8 * 60);
    benchmark::DoNotOptimize(field.minutes({dem.georef.x_of(10), dem.georef.y_of(10)}));
  }
}
BENCHMARK(travel_field)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace stumpwise::bench

BENCHMARK_MAIN();
