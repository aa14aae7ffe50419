#include "stumpwise/earth/geodesic.h"
