#include "stumpwise/ground/layers.h"
