#pragma once
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/interrupt.h"
#include "stumpwise/book/book.h"
#include "stumpwise/ground/layers.h"
#include "stumpwise/key/identify.h"
#include "stumpwise/species/library.h"

namespace stumpwise::app {

/// Everything of one ground in memory: the layers of the prospect and what stops a walker.
struct GroundData {
  ground::Layers layers;
  raster::Grid barrier;  ///< 1 where nobody walks whatever the day: water, rivers without a bridge, cliffs,
                         ///< no elevation
};

/// What an action works on: the book, the species library, the day that counts as today. One per command; the
/// server keeps one and takes a lock for each request.
class Session {
 public:
  /// `today`: STUMPWISE_TODAY or the system's day unless given (tests and the demo set it).
  explicit Session(const std::filesystem::path& book_path, bool create = false,
                   std::optional<Date> today = std::nullopt);
  /// Without a book: species, turnback, demo.
  explicit Session(std::optional<Date> today = std::nullopt);

  bool has_book() const { return book_.has_value(); }
  book::Book& book();  ///< Error(bad_usage) where there is none
  const species::Library&
  library();  ///< read on first use; Error(bad_format) listing every fault of the files
  /// The key over the library, made on first use.
  const key::Key& key();
  Date today() const { return today_; }
  /// The ground of that name, or the only one; Error listing them where it is not clear.
  records::GroundRecord ground(const std::string& name);
  /// Layers of a ground; derived rasters are remade where stale. Kept in memory for the session.
  const GroundData& ground_data(const records::GroundRecord& ground);
  /// Elevation alone, cheaper than all layers.
  const raster::Grid& elevation(const records::GroundRecord& ground);
  void forget_grounds();  ///< after a ground was added

  base::Progress progress;

 private:
  std::optional<book::Book> book_;
  std::unique_ptr<species::Library> library_;
  std::unique_ptr<key::Key> key_;
  std::unique_ptr<GroundData> data_;
  std::string data_of_;
  std::unique_ptr<raster::Grid> elevation_;
  std::string elevation_of_;
  Date today_;
};

}  // namespace stumpwise::app
