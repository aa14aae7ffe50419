#include "stumpwise/plan/documents.h"
