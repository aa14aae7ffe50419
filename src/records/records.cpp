#include "stumpwise/records/records.h"
