#include "stumpwise/ground/prospect.h"
