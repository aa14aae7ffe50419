#include "stumpwise/earth/sun.h"
