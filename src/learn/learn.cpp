#include "stumpwise/learn/learn.h"
