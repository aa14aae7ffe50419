#include "store.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <cmath>

#include "schema.h"

namespace stumpwise::book {
namespace {

constexpr int kBusy_ms = 5000;

int open_flags(Store::Mode mode) {
  switch (mode) {
    case Store::Mode::create:
      return SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE;
    case Store::Mode::write:
    case Store::Mode::look:
      return SQLite::OPEN_READWRITE;
    case Store::Mode::read:
      break;
  }
  return SQLite::OPEN_READONLY;
}

}  // namespace

Error translated(const SQLite::Exception& fault, const std::filesystem::path& path) {
  const std::string name = path.filename().string();
  switch (fault.getErrorCode() & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return Error(ErrorCode::store_failed, fmt::format("{}: another program is writing to the book", name),
                   "Close it there, or try again.");
    case SQLITE_FULL:
      return Error(ErrorCode::store_failed, fmt::format("{}: the disk is full; nothing was written", name),
                   "Make room and do it again.");
    case SQLITE_READONLY:
    case SQLITE_PERM:
      if (fault.getExtendedErrorCode() == SQLITE_READONLY_ROLLBACK ||
          fault.getExtendedErrorCode() == SQLITE_READONLY_RECOVERY)
        return Error(ErrorCode::store_failed,
                     fmt::format("{}: the book was not closed the last time (a crash?)", name),
                     "Open it once for writing: that puts it in order.");
      return Error(ErrorCode::store_failed, fmt::format("{}: the book may only be read", name),
                   "Check the rights of the file and of its folder.");
    case SQLITE_CANTOPEN:
      return Error(ErrorCode::unreadable,
                   fmt::format("{}: the book cannot be opened ({})", name, fault.what()),
                   "Check the rights of the file and of its folder.");
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return Error(ErrorCode::bad_format, fmt::format("{}: the file is damaged ({})", name, fault.what()),
                   "Restore the last backup.");
    case SQLITE_CONSTRAINT:
      if (fault.getExtendedErrorCode() == SQLITE_CONSTRAINT_FOREIGNKEY)
        return Error(
            ErrorCode::not_found,
            fmt::format("{}: a record names another (a ground, an outing, a find) that the book does "
                        "not hold, or would lose the one that it names",
                        name));
      return Error(ErrorCode::bad_value,
                   fmt::format("{}: the book refuses the value: {}", name, fault.what()));
    default:
      return Error(ErrorCode::store_failed, fmt::format("{}: {}", name, fault.what()));
  }
}

Store::Store(const std::filesystem::path& path, Mode mode) : path_(path), mode_(mode) {
  try {
    open();
  } catch (const SQLite::Exception& fault) {
    throw translated(fault, path_);
  }
}

void Store::open() {
  database_ = std::make_unique<SQLite::Database>(path_.string(), open_flags(mode_), kBusy_ms);
  sqlite3_extended_result_codes(database_->getHandle(), 1);
  register_functions(*database_);
  // trusted_schema stays on: with it off, SQLite 3.40 refuses the R-tree inside the triggers that GeoPackage
  // prescribes. No function is registered that does more than read its argument.
  database_->exec("PRAGMA foreign_keys = ON;");
  // FULL: a commit that was answered is on the disk, in WAL mode too.
  if (mode_ == Mode::write)
    database_->exec("PRAGMA synchronous = FULL; PRAGMA journal_mode = WAL; PRAGMA cache_size = -32000;");
}

Store::~Store() {
  close_to_one_file();
}

void Store::close_to_one_file() noexcept {
  // Back to one file without companions, so that it can be copied and opened in a folder that may only be
  // read. Where another connection is open, the last one to close does it.
  idle_.clear();
  if (!database_ || mode_ != Mode::write) return;
  try {
    if (sqlite3_get_autocommit(database_->getHandle()) == 0) database_->exec("ROLLBACK");
    database_->setBusyTimeout(0);
    database_->exec("PRAGMA wal_checkpoint(TRUNCATE)");
    database_->exec("PRAGMA journal_mode = DELETE");
  } catch (const std::exception&) {
    // What was committed is in the file and its log; the next opening goes on from there.
  }
}

void Store::run(const std::string& sql) {
  try {
    database_->exec(sql);
  } catch (const SQLite::Exception& fault) {
    throw translated(fault, path_);
  }
}

void Store::transaction(const std::function<void()>& action) {
  if (read_only())
    throw Error(ErrorCode::store_failed,
                fmt::format("{} is open for reading only", path_.filename().string()));
  if (depth_ == 0) {
    run("BEGIN IMMEDIATE");
    doomed_ = false;
  }
  ++depth_;
  try {
    action();
    if (depth_ == 1) {
      if (doomed_)
        throw Error(ErrorCode::store_failed, "a part of the action failed: nothing of it was written");
      run("COMMIT");
    }
    --depth_;
  } catch (...) {
    doomed_ = true;
    if (--depth_ == 0) {
      try {
        if (sqlite3_get_autocommit(database_->getHandle()) == 0) database_->exec("ROLLBACK");
      } catch (const SQLite::Exception&) {
        // The fault that brought us here is the one to tell; closing undoes what is left.
      }
    }
    throw;
  }
}

void Store::reading(const std::function<void()>& action) const {
  auto& database = *database_;
  const bool outermost = sqlite3_get_autocommit(database.getHandle()) != 0;
  try {
    if (outermost) database.exec("BEGIN");
    action();
    if (outermost) database.exec("COMMIT");
  } catch (const SQLite::Exception& fault) {
    throw translated(fault, path_);
  } catch (...) {
    try {
      if (outermost) database.exec("ROLLBACK");
    } catch (const SQLite::Exception&) {
      // as above
    }
    throw;
  }
}

int Store::schema_version() const {
  {
    Query table(*this, "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'stumpwise_schema'");
    if (!table.next()) return 0;
  }
  Query version(*this, "SELECT coalesce(max(version), 0) FROM stumpwise_schema");
  version.next();
  return version.small(0);
}

void Store::migrate() {
  for (const Migration& step : migrations()) {
    if (step.version <= schema_version()) continue;
    transaction([&] {
      if (step.version <= schema_version()) return;  // another program was quicker
      run("CREATE TABLE IF NOT EXISTS stumpwise_schema (version INTEGER PRIMARY KEY, what TEXT NOT NULL, "
          "applied DATETIME NOT NULL)");
      run(step.sql);
      Query(*this, "INSERT INTO stumpwise_schema VALUES (?, ?, strftime('%Y-%m-%dT%H:%M:%SZ', 'now'))")
          .with(step.version)
          .with(step.what)
          .run();
    });
  }
}

}  // namespace stumpwise::book
