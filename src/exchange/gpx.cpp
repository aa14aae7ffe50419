#include "stumpwise/exchange/gpx.h"
