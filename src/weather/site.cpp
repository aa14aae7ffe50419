#include "stumpwise/weather/site.h"
