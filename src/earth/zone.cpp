#include "stumpwise/earth/zone.h"
