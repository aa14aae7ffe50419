#include "stumpwise/records/records.h"

#include <algorithm>

namespace stumpwise::records {

bool is_blank(const Outing& outing) {
  return outing.finds.empty();
}

bool looked_for(const Outing& outing, const std::string& species) {
  return std::find(outing.targets.begin(), outing.targets.end(), species) != outing.targets.end();
}

int count_finds(const Outing& outing, const std::string& species) {
  return static_cast<int>(std::count_if(outing.finds.begin(), outing.finds.end(),
                                        [&](const Find& find) { return find.species == species; }));
}

}  // namespace stumpwise::records
