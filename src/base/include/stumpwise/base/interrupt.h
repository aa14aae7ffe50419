#pragma once
#include <functional>
#include <string>

namespace stumpwise::base {

/// Makes Ctrl-C (SIGINT) and SIGTERM set a flag instead of ending the program at once.
void catch_interrupts();
/// True once the flag is set.
bool interrupted();
/// Throws Error(cancelled) once the flag is set. Call it once per block, row or candidate of long work.
void check_interrupt();
/// For tests: sets or clears the flag.
void set_interrupted(bool value);

/// Told of the share done, 0 to 1, with the name of the step. May be empty.
using Progress = std::function<void(double share, const std::string& step)>;

}  // namespace stumpwise::base
