#include "stumpwise/demo/valley.h"
