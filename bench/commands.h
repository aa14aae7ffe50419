#pragma once
#include <cstdint>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

/// One function per word of the measuring program. Each returns what is printed; times hold the work and,
/// where files are named, reading and writing them.
namespace stumpwise::bench {

struct TerrainRequest {
  std::string dem;  ///< a metric GeoTIFF, or empty with `make`
  int make = 0;     ///< side of an invented DEM, a power of two
  int threads = 1;
  std::filesystem::path out;
};
nlohmann::json terrain(const TerrainRequest& request);

nlohmann::json flow(const std::string& dem, const std::filesystem::path& out);

struct TravelRequest {
  std::string dem, start, law, out;
};
nlohmann::json travel(const TravelRequest& request);

nlohmann::json prospect(int cells, int covariates, int threads);

struct IndexRequest {
  std::string weather;
  int years = 1, bands = 1;
  double lat_deg = 45, lon_deg = 0, elev_m = 0;
};
nlohmann::json index(const IndexRequest& request);

struct KeyRequest {
  std::string matrix, groups, specimens, characters;
  bool chosen = false, given = false, curve = false;
  bool classes = false;  ///< judge by the odds of the two classes: the bound of what any rule can reach
  int simulate = 0;
  std::uint64_t seed = 1;
  double misread = 0.1, threshold = 7, danger_weight = 1;
  int threads = 1;
};
nlohmann::json key(const KeyRequest& request);
/// One update of the posterior and one ranking of the next observations, `taxa` invented ones.
nlohmann::json key_speed(int taxa);

struct GateRequest {
  std::string region = "EU+NA-E";
  int simulate = 10'000, characters = 0;  ///< 0: every character of the profile
  std::uint64_t seed = 1;
  int threads = 1;
};
nlohmann::json gate(const GateRequest& request);

}  // namespace stumpwise::bench
