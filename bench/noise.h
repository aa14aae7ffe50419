#pragma once
#include <cstdint>

#include "stumpwise/raster/grid.h"

namespace stumpwise::bench {

/// Invented land for timing: Gaussian noise whose amplitude falls as 1/f^2 (f: cycles per cell), by an
/// inverse Fourier transform, stretched to 0..2000 m; `side` x `side` cells of 10 m in EPSG:32633. `side` is
/// a power of two of 2 at least, else Error(bad_usage). The recipe of the shared make_dem.py with another
/// generator of random numbers, so not its land.
raster::Grid noise_land(int side, std::uint64_t seed);

}  // namespace stumpwise::bench
