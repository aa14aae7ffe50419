#pragma once
#include <vector>

#include "stumpwise/species/library.h"

namespace stumpwise::species {

/// Two people read each pair and each danger without sight of the other's work. An open pair names only what
/// both named, and is open only if both left it open; a danger is at least as wide as its second reading.
std::vector<Issue> check_readings(const Library& library);

}  // namespace stumpwise::species
