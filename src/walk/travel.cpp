#include "stumpwise/walk/travel.h"
