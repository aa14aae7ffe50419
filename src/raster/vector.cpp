#include "stumpwise/raster/vector.h"
