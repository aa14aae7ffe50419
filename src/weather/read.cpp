#include "stumpwise/weather/read.h"
