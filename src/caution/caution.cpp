#include "stumpwise/caution/caution.h"
