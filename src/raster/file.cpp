#include "stumpwise/raster/file.h"
