#include "streams.h"

#include <algorithm>

namespace stumpwise::demo {

std::vector<Stream> trace_streams(const Relief& relief, double least_ha) {
  const raster::Georef& g = relief.elevation_m.georef;
  const double cell_ha = g.cell_m * g.cell_m / 10'000;
  const auto wet = [&](std::size_t i) {
    return relief.upslope_cells[i] * cell_ha >= least_ha && !relief.channel[i];
  };
  std::vector<std::uint8_t> fed(g.size(), 0), drawn(g.size(), 0);
  for (std::size_t i = 0; i < g.size(); ++i)
    if (wet(i) && relief.receiver[i] >= 0) fed[relief.receiver[i]] = 1;
  std::vector<int> heads;
  for (std::size_t i = 0; i < g.size(); ++i)
    if (wet(i) && !fed[i]) heads.push_back(static_cast<int>(i));
  // The highest head first: it draws the main stem, the others join it.
  std::sort(heads.begin(), heads.end(), [&](int a, int b) {
    const float za = relief.elevation_m.values[a], zb = relief.elevation_m.values[b];
    return za != zb ? za > zb : a < b;
  });
  std::vector<Stream> streams;
  for (int head : heads) {
    Stream stream;
    for (int cell = head; cell >= 0; cell = relief.receiver[cell]) {
      stream.line.push_back({g.x_of(cell % g.cols), g.y_of(cell / g.cols)});
      if (relief.channel[cell] || drawn[cell]) break;
      stream.upslope_ha = relief.upslope_cells[cell] * cell_ha;
      drawn[cell] = 1;
    }
    if (stream.line.size() > 12) streams.push_back(std::move(stream));
  }
  return streams;
}

}  // namespace stumpwise::demo
