#include "stumpwise/records/piece.h"

#include <algorithm>

namespace stumpwise::records {

std::vector<Observation> current(const std::vector<Observation>& history) {
  std::vector<Observation> list;
  for (const Observation& reading : history) {
    if (!reading.withdrawn_at.empty()) continue;
    const auto same = std::find_if(list.begin(), list.end(), [&](const Observation& other) {
      return other.character == reading.character;
    });
    if (same == list.end())
      list.push_back(reading);
    else
      *same = reading;
  }
  return list;
}

}  // namespace stumpwise::records
