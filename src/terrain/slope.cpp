#include "stumpwise/terrain/slope.h"
