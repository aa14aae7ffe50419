#pragma once
#include <vector>

#include "stumpwise/species/library.h"

namespace stumpwise::species {

/// What is gathered but can rise above candidate in no region where it grows, in the order of ids.
std::vector<ShutName> shut_names(const Library& library);

}  // namespace stumpwise::species
