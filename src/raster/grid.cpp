#include "stumpwise/raster/grid.h"
