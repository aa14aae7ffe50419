#include <fmt/format.h>

#include <cmath>

#include "store.h"

namespace stumpwise::book {
namespace {

/// Well below SQLite's own limit of a value: more than ten million points of a track.
constexpr std::size_t kMostBlobBytes = 500'000'000;

}  // namespace

Query::Query(const Store& store, const std::string& sql) : store_(store), sql_(sql) {
  auto& idle = store_.idle_[sql_];
  if (!idle.empty()) {
    statement_ = std::move(idle.back());
    idle.pop_back();
    return;
  }
  try {
    statement_ = std::make_unique<SQLite::Statement>(*store_.database_, sql_);
  } catch (const SQLite::Exception& fault) {
    throw translated(fault, store_.path_);
  }
}

Query::~Query() {
  // A statement that is not reset would hold its view of the file.
  if (statement_->tryReset() == SQLite::OK) {
    try {
      statement_->clearBindings();
      store_.idle_[sql_].push_back(std::move(statement_));
    } catch (const std::exception&) {
      // it is thrown away instead
    }
  }
}

template <class... Values>
void Query::bind(const Values&... values) {
  try {
    statement_->bind(++bound_, values...);
  } catch (const SQLite::Exception& fault) {
    throw translated(fault, store_.path_);
  }
}

Query& Query::with(const std::string& text) {
  bind(text);
  return *this;
}
Query& Query::with(std::int64_t number) {
  bind(number);
  return *this;
}
Query& Query::with(double number, const char* name) {
  if (!std::isfinite(number))
    throw Error(ErrorCode::bad_value, fmt::format("{}: {} is no number that can be kept", name, number));
  bind(number);
  return *this;
}
Query& Query::with_blob(const std::string& bytes) {
  if (bytes.size() > kMostBlobBytes)
    throw Error(ErrorCode::bad_value,
                fmt::format("{} bytes in one track or outline: at most {}", bytes.size(), kMostBlobBytes));
  bind(static_cast<const void*>(bytes.data()), static_cast<int>(bytes.size()));
  return *this;
}
Query& Query::with_null() {
  bind();
  return *this;
}

bool Query::next() {
  try {
    return statement_->executeStep();
  } catch (const SQLite::Exception& fault) {
    throw translated(fault, store_.path_);
  }
}

int Query::run() {
  try {
    const int changed = statement_->exec();
    statement_->reset();
    bound_ = 0;
    return changed;
  } catch (const SQLite::Exception& fault) {
    throw translated(fault, store_.path_);
  }
}

bool Query::is_null(int column) const {
  return statement_->getColumn(column).isNull();
}
std::string Query::text(int column) const {
  return statement_->getColumn(column).getString();
}
std::int64_t Query::integer(int column) const {
  return statement_->getColumn(column).getInt64();
}
double Query::number(int column) const {
  return statement_->getColumn(column).getDouble();
}
std::optional<double> Query::maybe_number(int column) const {
  return is_null(column) ? std::nullopt : std::optional(number(column));
}
std::optional<int> Query::maybe_small(int column) const {
  return is_null(column) ? std::nullopt : std::optional(small(column));
}

Date Query::date(int column) const {
  const auto day = base::parse_date(text(column));
  if (!day)
    throw Error(ErrorCode::bad_format,
                fmt::format("{}: \"{}\" is no day", store_.path_.filename().string(), text(column)));
  return *day;
}
std::optional<Date> Query::maybe_date(int column) const {
  return is_null(column) ? std::nullopt : std::optional(date(column));
}

}  // namespace stumpwise::book
