// What `check` finds wrong inside the file.
#include <fmt/format.h>

#include "impl.h"

namespace stumpwise::book {
namespace {

/// Rows whose reference leads nowhere: another program may write without foreign keys.
void add_dangling(const Store& store, std::vector<std::string>& faults) {
  Query query(store, "PRAGMA foreign_key_check");
  while (query.next())
    faults.push_back(fmt::format("{} {} names a {} that the book does not hold", query.text(0),
                                 query.integer(1), query.text(2)));
}

void add_index_faults(const Store& store, std::vector<std::string>& faults) {
  for (const char* table : {"find", "outing_track", "piece"}) {
    Query query(store, fmt::format("SELECT (SELECT count(*) FROM {0} WHERE geom NOT NULL AND NOT "
                                   "ST_IsEmpty(geom)), (SELECT count(*) FROM rtree_{0}_geom)",
                                   table));
    query.next();
    if (query.integer(0) != query.integer(1))
      faults.push_back(
          fmt::format("{}: {} places, {} in its spatial index", table, query.integer(0), query.integer(1)));
  }
}

}  // namespace

std::vector<std::string> Book::faults() const {
  std::vector<std::string> faults;
  impl_->store.reading([&] {
    Query pages(impl_->store, "PRAGMA integrity_check");
    while (pages.next())
      if (pages.text(0) != "ok") faults.push_back(pages.text(0));
    add_dangling(impl_->store, faults);
    add_index_faults(impl_->store, faults);
  });
  return faults;
}

}  // namespace stumpwise::book
