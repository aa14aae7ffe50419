#include "stumpwise/season/index.h"
