#pragma once
#include <cstddef>
#include <functional>

namespace stumpwise::base {

/// Number of threads that work may use: STUMPWISE_THREADS, else the machine's cores.
int default_threads();

/// Calls body(begin, end) on disjoint ranges that cover [0, n), on up to `threads` threads (TBB). The result
/// must not depend on how the range is cut. An exception of a body stops the rest and is thrown here.
void parallel_ranges(std::size_t n, int threads,
                     const std::function<void(std::size_t begin, std::size_t end)>& body);

}  // namespace stumpwise::base
