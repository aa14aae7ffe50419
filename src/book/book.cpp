#include "stumpwise/book/book.h"
