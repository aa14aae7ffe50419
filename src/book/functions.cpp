#include <sqlite3.h>

#include "geometry.h"
#include "store.h"

namespace stumpwise::book {
namespace {

enum class Wanted { is_empty, min_x, max_x, min_y, max_y };

template <Wanted wanted>
void st_function(sqlite3_context* context, int, sqlite3_value** values) {
  if (sqlite3_value_type(values[0]) != SQLITE_BLOB) {
    sqlite3_result_null(context);
    return;
  }
  const void* bytes = sqlite3_value_blob(values[0]);
  const auto bounds = blob_bounds(bytes, static_cast<std::size_t>(sqlite3_value_bytes(values[0])));
  if constexpr (wanted == Wanted::is_empty) {
    sqlite3_result_int(context, bounds ? 0 : 1);
  } else if (!bounds) {
    sqlite3_result_null(context);
  } else {
    const double value = wanted == Wanted::min_x   ? bounds->min_x
                         : wanted == Wanted::max_x ? bounds->max_x
                         : wanted == Wanted::min_y ? bounds->min_y
                                                   : bounds->max_y;
    sqlite3_result_double(context, value);
  }
}

template <Wanted wanted>
void add(SQLite::Database& database, const char* name) {
  const int result = sqlite3_create_function_v2(database.getHandle(), name, 1,
                                                SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_INNOCUOUS,
                                                nullptr, &st_function<wanted>, nullptr, nullptr, nullptr);
  if (result != SQLITE_OK) throw SQLite::Exception(database.getHandle(), result);
}

}  // namespace

void register_functions(SQLite::Database& database) {
  add<Wanted::is_empty>(database, "ST_IsEmpty");
  add<Wanted::min_x>(database, "ST_MinX");
  add<Wanted::max_x>(database, "ST_MaxX");
  add<Wanted::min_y>(database, "ST_MinY");
  add<Wanted::max_y>(database, "ST_MaxY");
}

}  // namespace stumpwise::book
