#include "stumpwise/earth/projection.h"
