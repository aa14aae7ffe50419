#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "stumpwise/base/date.h"

namespace stumpwise::demo {

/// A day out and what is looked for.
struct Errand {
  Date date;
  std::vector<std::string> targets;
  bool to_spent_elm = false;
};

/// All errands in order of date, at most one a day.
std::vector<Errand> make_calendar(std::uint64_t seed);

}  // namespace stumpwise::demo
