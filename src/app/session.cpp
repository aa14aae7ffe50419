#include "stumpwise/app/session.h"

#include <fmt/format.h>

#include <chrono>
#include <cstdlib>

#include "ground_files.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"
#include "stumpwise/raster/file.h"

namespace stumpwise::app {
namespace {

Date day_of_the_system() {
  if (const char* given = std::getenv("STUMPWISE_TODAY")) return base::require_date(given, "STUMPWISE_TODAY");
  return std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
}

book::Book open_or_create(const std::filesystem::path& path, bool create) {
  return create && !std::filesystem::exists(path) ? book::Book::create(path) : book::Book::open(path);
}

}  // namespace

Session::Session(const std::filesystem::path& book_path, bool create, std::optional<Date> today)
    : book_(open_or_create(book_path, create)), today_(today ? *today : day_of_the_system()) {}

Session::Session(std::optional<Date> today) : today_(today ? *today : day_of_the_system()) {}

book::Book& Session::book() {
  if (book_) return *book_;
  throw Error(ErrorCode::bad_usage, "no book was named",
              "Say --book FILE.gpkg or set STUMPWISE_BOOK. `stumpwise demo DIR` makes one to try.");
}

const species::Library& Session::library() {
  if (!library_) {
    auto parsed = species::Library::read(base::data_folder());
    library_ =
        std::make_unique<species::Library>(base::value_or_throw(std::move(parsed), "species profiles"));
  }
  return *library_;
}

const key::Key& Session::key() {
  if (!key_) key_ = std::make_unique<key::Key>(library());
  return *key_;
}

records::GroundRecord Session::ground(const std::string& name) {
  const auto grounds = book().grounds();
  std::vector<std::string> names;
  for (const auto& each : grounds) {
    if (each.name == name) return each;
    names.push_back(each.name);
  }
  if (grounds.empty())
    throw Error(ErrorCode::no_data, "the book holds no ground yet",
                "Add one: stumpwise ground add NAME --dem FILE --region EU --tz Europe/Berlin --cell 10");
  if (name.empty() && grounds.size() == 1) return grounds.front();
  if (name.empty())
    throw Error(ErrorCode::bad_usage, "the book holds several grounds: " + base::join(names, ", "),
                "Say which with --ground NAME.");
  throw Error(ErrorCode::not_found, "no ground is called \"" + base::printable(name) + "\"",
              "There are: " + base::join(names, ", "));
}

const GroundData& Session::ground_data(const records::GroundRecord& ground) {
  if (!data_ || data_of_ != ground.name) {
    const GroundFiles files{book().files_folder() / ground.name};
    data_ = std::make_unique<GroundData>(read_ground(files, ground, book().hosts(ground.name), progress));
    data_of_ = ground.name;
  }
  return *data_;
}

const raster::Grid& Session::elevation(const records::GroundRecord& ground) {
  if (data_ && data_of_ == ground.name) return data_->layers.elevation_m;
  if (!elevation_ || elevation_of_ != ground.name) {
    elevation_ = std::make_unique<raster::Grid>(
        raster::read_grid(GroundFiles{book().files_folder() / ground.name}.dem()));
    elevation_of_ = ground.name;
  }
  return *elevation_;
}

void Session::forget_grounds() {
  data_.reset();
  elevation_.reset();
}

}  // namespace stumpwise::app
