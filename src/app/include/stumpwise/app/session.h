#pragma once
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/book/book.h"
#include "stumpwise/ground/layers.h"
#include "stumpwise/species/library.h"

namespace stumpwise::app {

/// What an action works on: the book, the species library, the day that counts as today. One per command, one per server
/// (the server takes its lock for each request).
class Session {
 public:
  /// `today`: STUMPWISE_TODAY or the system's day unless given (tests and the demo set it).
  Session(const std::filesystem::path& book_path, bool create = false, std::optional<Date> today = std::nullopt);
  /// Without a book: species, turnback, demo.
  explicit Session(std::optional<Date> today = std::nullopt);

  bool has_book() const { return book_.has_value(); }
  book::Book& book();              ///< Error(bad_usage) where there is none
  const species::Library& library();  ///< read on first use
  Date today() const { return today_; }
  /// The ground of that name, or the only one; Error(bad_usage) listing them where it is not clear.
  records::GroundRecord ground(const std::string& name);
  /// Layers of a ground, derived rasters remade where stale; kept in memory for the session.
  const ground::Layers& layers(const records::GroundRecord& ground);
  base::Progress progress;

 private:
  std::optional<book::Book> book_;
  std::unique_ptr<species::Library> library_;
  std::unique_ptr<ground::Layers> layers_;
  std::string layers_of_;
  Date today_;
};

}  // namespace stumpwise::app
