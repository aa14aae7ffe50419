#pragma once
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "stumpwise/base/files.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::raster::testing_help {

/// Folder of the shared open data; empty where it is not present.
inline std::filesystem::path shared_data() {
  const char* named = std::getenv("STUMPWISE_SHARED");
  const std::filesystem::path root =
      named ? named : std::filesystem::path(STUMPWISE_SOURCE_DIR) / ".." / "shared";
  for (const auto& path : {root / "data", root})
    if (std::filesystem::exists(path / "place")) return path;
  return {};
}

inline bool has_program(const std::string& name) {
  return std::system(("command -v " + name + " >/dev/null 2>&1").c_str()) == 0;
}

inline Georef small(int cols, int rows, double cell_m = 10, int epsg = 32633) {
  return {500000, 5'000'000 + rows * cell_m, cell_m, cols, rows, epsg};
}

/// z = 100 + 0.3 east + 0.1 south, in metres.
inline float plane(const Georef& g, int col, int row) {
  return static_cast<float>(100 + 0.3 * (g.x_of(col) - 500000) + 0.1 * (5'010'000 - g.y_of(row)));
}
inline Grid plane_grid(const Georef& g) {
  Grid grid(g, Quantity::elevation_m);
  for (int row = 0; row < g.rows; ++row)
    for (int col = 0; col < g.cols; ++col) grid.at(col, row) = plane(g, col, row);
  return grid;
}

inline void write_text(const std::filesystem::path& path, const std::string& text) {
  std::ofstream(path) << text;
}

inline void cut_to(const std::filesystem::path& path, double share) {
  std::filesystem::resize_file(
      path, static_cast<std::uintmax_t>(static_cast<double>(std::filesystem::file_size(path)) * share));
}

}  // namespace stumpwise::raster::testing_help
