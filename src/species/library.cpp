#include "stumpwise/species/library.h"
