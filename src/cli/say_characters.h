#pragma once
#include "page.h"

namespace stumpwise::cli {

/// The characters of a species page, by how they are seen: a look, a cut, a spade, a night, a microscope, a
/// reagent. Must-sees are marked with *.
void say_characters(Page& page, const Json& answer);

}  // namespace stumpwise::cli
