#pragma once
// The file as another program sees it: plain SQLite, without the book.
#include <gtest/gtest.h>
#include <sqlite3.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace stumpwise::book {

/// What the triggers of the spatial indexes ask for, as a program would have it that knows no geometry.
inline void register_blind_geometry(sqlite3* database) {
  const auto zero = [](sqlite3_context* context, int, sqlite3_value**) { sqlite3_result_int(context, 0); };
  for (const char* name : {"ST_IsEmpty", "ST_MinX", "ST_MaxX", "ST_MinY", "ST_MaxY"})
    sqlite3_create_function(database, name, 1, SQLITE_UTF8, nullptr, zero, nullptr, nullptr);
}

/// What SQLite says when it refuses, foreign keys on; "" where it does not.
inline std::string raw_refusal(const std::filesystem::path& path, const std::string& sql) {
  sqlite3* database = nullptr;
  sqlite3_open(path.c_str(), &database);
  register_blind_geometry(database);
  char* message = nullptr;
  sqlite3_exec(database, ("PRAGMA foreign_keys = ON;" + sql).c_str(), nullptr, nullptr, &message);
  const std::string said = message ? message : "";
  sqlite3_free(message);
  sqlite3_close(database);
  return said;
}

inline void raw_exec(const std::filesystem::path& path, const std::string& sql) {
  sqlite3* database = nullptr;
  ASSERT_EQ(sqlite3_open(path.c_str(), &database), SQLITE_OK);
  register_blind_geometry(database);
  char* message = nullptr;
  EXPECT_EQ(sqlite3_exec(database, sql.c_str(), nullptr, nullptr, &message), SQLITE_OK)
      << (message ? message : "");
  sqlite3_free(message);
  sqlite3_close(database);
}

/// First column of the first row, "" for none.
inline std::string raw_value(const std::filesystem::path& path, const std::string& sql) {
  sqlite3* database = nullptr;
  if (sqlite3_open_v2(path.c_str(), &database, SQLITE_OPEN_READONLY, nullptr) != SQLITE_OK)
    return "cannot open";
  sqlite3_stmt* statement = nullptr;
  std::string value;
  if (sqlite3_prepare_v2(database, sql.c_str(), -1, &statement, nullptr) == SQLITE_OK &&
      sqlite3_step(statement) == SQLITE_ROW) {
    const auto* text = sqlite3_column_text(statement, 0);
    if (text) value = reinterpret_cast<const char*>(text);
  }
  sqlite3_finalize(statement);
  sqlite3_close(database);
  return value;
}

inline std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream all;
  all << file.rdbuf();
  return all.str();
}

/// Books as older programs wrote them.
inline void write_first_format(const std::filesystem::path& path) {
  raw_exec(path, bytes_of(STUMPWISE_SOURCE_DIR "/tests/book/book_v1.sql"));
}
inline void write_second_format(const std::filesystem::path& path) {
  write_first_format(path);
  raw_exec(path, bytes_of(STUMPWISE_SOURCE_DIR "/tests/book/book_v2.sql"));
}
constexpr int kNewestFormat = 3;

}  // namespace stumpwise::book
