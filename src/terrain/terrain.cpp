#include "stumpwise/terrain/terrain.h"
