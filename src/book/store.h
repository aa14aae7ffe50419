#pragma once
// Private to book: one connection to the file, its statements and its transactions. SQLite's own exceptions
// stop here.
#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/date.h"
#include "stumpwise/base/error.h"

namespace stumpwise::book {

/// The fault of the store as a person reads it.
Error translated(const SQLite::Exception& fault, const std::filesystem::path& path);

class Store {
 public:
  /// `look`: may mend what a crash left (a hot journal), writes nothing else.
  enum class Mode { create, write, look, read };
  Store(const std::filesystem::path& path, Mode mode);
  ~Store();
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

  const std::filesystem::path& path() const { return path_; }
  bool read_only() const { return mode_ == Mode::read; }
  void run(const std::string& sql);
  /// One transaction around `action`; nested calls join, and if one of them fails the whole is undone even
  /// where the outer action swallowed the fault.
  void transaction(const std::function<void()>& action);
  /// A stable view of the file for an answer that takes several questions.
  void reading(const std::function<void()>& action) const;

  /// 0 where there is no table of ours.
  int schema_version() const;
  /// Brings the file to the newest version, a transaction each step.
  void migrate();
  /// Of the row inserted last.
  std::int64_t last_id() const { return database_->getLastInsertRowid(); }

 private:
  friend class Query;
  void open();
  void close_to_one_file() noexcept;
  std::filesystem::path path_;
  Mode mode_;
  std::unique_ptr<SQLite::Database> database_;
  mutable std::map<std::string, std::vector<std::unique_ptr<SQLite::Statement>>> idle_;
  int depth_ = 0;
  bool doomed_ = false;
};

/// A prepared statement, taken from the store and given back reset. Parameters are bound in order, columns
/// read by number.
class Query {
 public:
  Query(const Store& store, const std::string& sql);
  ~Query();
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;

  Query& with(const std::string& text);
  Query& with(const char*) = delete;  // would be taken for a bool
  Query& with(std::int64_t number);
  Query& with(int number) { return with(static_cast<std::int64_t>(number)); }
  Query& with(bool value) { return with(std::int64_t{value}); }
  /// `name` is what Error(bad_value) says where the number is not finite: NULL would take its place unseen.
  Query& with(double number, const char* name);
  Query& with(const std::optional<double>& number, const char* name) {
    return number ? with(*number, name) : with_null();
  }
  Query& with(const std::optional<int>& number) { return number ? with(*number) : with_null(); }
  Query& with(Date date) { return with(base::to_text(date)); }
  Query& with(const std::optional<Date>& date) { return date ? with(*date) : with_null(); }
  Query& with_blob(const std::string& bytes);
  Query& with_blob(const std::optional<std::string>& bytes) {
    return bytes ? with_blob(*bytes) : with_null();
  }
  Query& with_null();

  /// The next row; false at the end.
  bool next();
  /// For statements without rows: runs, and is ready to be bound again. Returns how many rows it changed.
  int run();

  bool is_null(int column) const;
  std::string text(int column) const;
  std::int64_t integer(int column) const;
  int small(int column) const { return static_cast<int>(integer(column)); }
  double number(int column) const;
  std::optional<double> maybe_number(int column) const;
  std::optional<int> maybe_small(int column) const;
  /// Error(bad_format) where the text is no day.
  Date date(int column) const;
  std::optional<Date> maybe_date(int column) const;

 private:
  template <class... Values>
  void bind(const Values&... values);
  const Store& store_;
  const std::string sql_;
  std::unique_ptr<SQLite::Statement> statement_;
  int bound_ = 0;
};

/// Registers ST_IsEmpty, ST_MinX, ST_MaxX, ST_MinY, ST_MaxY, which the R-tree triggers of a GeoPackage call.
void register_functions(SQLite::Database& database);

}  // namespace stumpwise::book
