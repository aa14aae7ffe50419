#pragma once
#include "stumpwise/base/interrupt.h"

namespace stumpwise::cli {

/// A bar on stderr for work over a second; nothing at all where stderr is no terminal. May be called from
/// several threads; the line is wiped when the last copy goes.
base::Progress progress_bar();

}  // namespace stumpwise::cli
