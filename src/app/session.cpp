#include "stumpwise/app/session.h"
