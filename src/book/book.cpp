#include "stumpwise/book/book.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <fstream>

#include "impl.h"
#include "schema.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::book {
namespace fs = std::filesystem;
namespace {

constexpr std::int64_t kGeoPackageId = 1196444487;  // "GPKG"

/// Removes the file and SQLite's companions of it when it goes out of scope.
struct Scratch {
  fs::path path;
  ~Scratch() {
    std::error_code ignored;
    for (const char* tail : {"", "-journal", "-wal", "-shm"}) fs::remove(path.string() + tail, ignored);
  }
};

/// The entry of a new file in its folder is on the disk only once the folder is.
void flush_folder(const fs::path& folder) {
  const int handle = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (handle < 0) return;
  ::fsync(handle);
  ::close(handle);
}

void require_sqlite_file(const fs::path& path) {
  std::error_code ignored;
  if (!fs::exists(path, ignored))
    throw Error(
        ErrorCode::not_found, fmt::format("there is no book {}", path.string()),
        "`stumpwise demo DIR` makes one to try; `stumpwise ground add ... --book FILE.gpkg` begins one.");
  if (!fs::is_regular_file(path, ignored))
    throw Error(ErrorCode::bad_format, fmt::format("{} is no file", path.string()));
  std::ifstream file(path, std::ios::binary);
  if (!file)
    throw Error(ErrorCode::unreadable, fmt::format("{} cannot be read", path.string()), "Check its rights.");
  std::string head(16, '\0');
  file.read(head.data(), 16);
  if (head != std::string("SQLite format 3\0", 16))
    throw Error(ErrorCode::bad_format,
                fmt::format("{} is no book: it is no GeoPackage at all", path.filename().string()),
                "Name the file NAME.gpkg that the program made.");
}

void require_book(const Store& store, bool read_only) {
  const std::string name = store.path().filename().string();
  Query id(store, "PRAGMA application_id");
  id.next();
  const int version = store.schema_version();
  if (id.integer(0) != kGeoPackageId || version == 0)
    throw Error(ErrorCode::bad_format,
                fmt::format("{} is no book: it holds no records of this program", name),
                "Name the file NAME.gpkg that the program made.");
  if (version > newest_version())
    throw Error(
        ErrorCode::stale_version,
        fmt::format("{} was written by a newer program: its format is {}, this program knows up to {}", name,
                    version, newest_version()),
        "Use the newer program. The file was not changed.");
  if (read_only && version < newest_version())
    throw Error(ErrorCode::stale_version,
                fmt::format("{} has the older format {} and is open for reading only", name, version),
                "Open it once for writing: that brings it to the present format.");
}

}  // namespace

Book::Book(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Book::Book(Book&&) noexcept = default;
Book& Book::operator=(Book&&) noexcept = default;
Book::~Book() = default;

Book Book::create(const fs::path& path) {
  const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
  std::error_code fault;
  if (fs::exists(path, fault))
    throw Error(ErrorCode::store_failed, fmt::format("{} is there already", path.string()),
                "Name another file, or open this one.");
  if (!fs::is_directory(folder, fault))
    throw Error(ErrorCode::store_failed, fmt::format("the folder {} does not exist", folder.string()),
                "Make it first.");
  // Made whole beside its place and then linked into it: a crash leaves no half book, and a file that appears
  // in the meantime is not overwritten.
  const Scratch scratch{folder / fmt::format(".{}.{}.new", path.filename().string(), base::random_hex(4))};
  Store(scratch.path, Store::Mode::create).migrate();
  fs::create_hard_link(scratch.path, path, fault);
  if (fault && !fs::exists(path)) {
    // A file system without links (a stick): the next best is a rename.
    fault.clear();
    fs::rename(scratch.path, path, fault);
  }
  if (fault)
    throw Error(ErrorCode::store_failed,
                fmt::format("{} could not be made: {}", path.string(), fault.message()));
  flush_folder(folder);
  return open(path);
}

Book Book::open(const fs::path& path, bool read_only) {
  require_sqlite_file(path);
  // The first look never writes: a file that is no book or is newer stays as it is, byte for byte.
  require_book(Store(path, read_only ? Store::Mode::read : Store::Mode::look), read_only);
  auto impl = std::make_unique<Impl>(path, read_only ? Store::Mode::read : Store::Mode::write);
  if (!read_only) impl->store.migrate();
  return Book(std::move(impl));
}

const fs::path& Book::path() const {
  return impl_->store.path();
}

fs::path Book::files_folder() const {
  return path().parent_path() / (path().stem().string() + ".files");
}

int Book::schema_version() const {
  return impl_->store.schema_version();
}

void Book::transaction(const std::function<void()>& action) {
  impl_->store.transaction(action);
}

void Book::set(const std::string& key, const std::string& value) {
  transaction([&] {
    Query(impl_->store,
          "INSERT INTO setting (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = "
          "excluded.value")
        .with(key)
        .with(value)
        .run();
  });
}

std::optional<std::string> Book::get(const std::string& key) const {
  Query query(impl_->store, "SELECT value FROM setting WHERE key = ?");
  return query.with(key).next() ? std::optional(query.text(0)) : std::nullopt;
}

void Book::put_file(const FileRecord& file) {
  transaction([&] {
    Query query(impl_->store,
                "INSERT INTO stored_file (name, sha256, role, ground) VALUES (?, ?, ?, ?) ON CONFLICT (name) "
                "DO UPDATE SET "
                "sha256 = excluded.sha256, role = excluded.role, ground = excluded.ground");
    query.with(file.name).with(file.sha256).with(file.role);
    (file.ground.empty() ? query.with_null() : query.with(file.ground)).run();
  });
}

std::vector<FileRecord> Book::files(const std::string& ground) const {
  Query query(impl_->store,
              "SELECT name, sha256, role, coalesce(ground, '') FROM stored_file WHERE coalesce(ground, '') = "
              "? ORDER BY name");
  query.with(ground);
  std::vector<FileRecord> files;
  while (query.next()) files.push_back({query.text(0), query.text(1), query.text(2), query.text(3)});
  return files;
}

}  // namespace stumpwise::book
