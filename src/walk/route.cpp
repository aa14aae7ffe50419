#include "stumpwise/walk/route.h"
