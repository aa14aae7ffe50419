#pragma once
// A disk that loses its power. An SQLite file system layered on the real one: every write is also noted, and
// what was not flushed (xSync) when the power goes is kept, dropped or torn, sector by sector, as dice say.
// Killing a process proves little, since the system's cache survives it; this does not survive.
#include <sqlite3.h>

#include <algorithm>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "stumpwise/base/random.h"

namespace stumpwise::book {

class PowerVfs {
 public:
  static constexpr int kSector = 512;

  PowerVfs() : real_(sqlite3_vfs_find(nullptr)) {
    vfs_ = *real_;
    vfs_.iVersion = 2;
    vfs_.szOsFile = static_cast<int>(sizeof(File)) + real_->szOsFile;
    vfs_.zName = "power";
    vfs_.pAppData = this;
    vfs_.pNext = nullptr;
    vfs_.xOpen = open;
    vfs_.xDelete = remove;
    sqlite3_vfs_register(&vfs_, 1);
  }
  ~PowerVfs() {
    sqlite3_vfs_unregister(&vfs_);
    sqlite3_vfs_register(real_, 1);
  }
  PowerVfs(const PowerVfs&) = delete;
  PowerVfs& operator=(const PowerVfs&) = delete;

  /// The power goes at the `operation`-th write, flush, cut or removal from now (1 = the next).
  void fail_at(int operation) { left_ = operation; }
  bool is_off() const { return off_; }
  int operations() const { return operations_; }

  /// Puts on the disk what a machine would find after the failure. Call when every connection is closed.
  void settle(base::Random& random) {
    for (auto& [path, state] : states_) {
      if (path.size() > 4 && path.compare(path.size() - 4, 4, "-shm") == 0) continue;
      std::string content = state.flushed;
      for (const Change& change : state.pending) {
        if (change.cut) {
          if (random.chance(0.5)) content.resize(static_cast<std::size_t>(change.offset));
          continue;
        }
        // A write reaches the disk in sectors, each or none, in any order.
        for (std::size_t at = 0; at < change.bytes.size();) {
          const auto offset = static_cast<std::size_t>(change.offset) + at;
          const std::size_t n = std::min<std::size_t>(kSector - offset % kSector, change.bytes.size() - at);
          if (random.chance(0.5)) {
            if (content.size() < offset + n) content.resize(offset + n, '\0');
            std::memcpy(content.data() + offset, change.bytes.data() + at, n);
          }
          at += n;
        }
      }
      if (state.exists) std::ofstream(path, std::ios::binary | std::ios::trunc) << content;
    }
    for (auto& [path, state] : states_) {
      std::error_code ignored;
      std::filesystem::remove(path + "-shm", ignored);  // shared memory does not outlive the machine
    }
    states_.clear();
    off_ = false;
    left_ = 0;
  }

 private:
  struct Change {
    sqlite3_int64 offset = 0;
    std::string bytes;
    bool cut = false;
  };
  struct State {
    std::string flushed;
    std::vector<Change> pending;
    bool exists = true;
  };
  struct File {
    sqlite3_file base;
    PowerVfs* owner;
    std::string* path;
    sqlite3_file* inner() { return reinterpret_cast<sqlite3_file*>(this + 1); }
  };
  static File* self(sqlite3_file* file) { return reinterpret_cast<File*>(file); }
  static sqlite3_file* inner(sqlite3_file* file) { return self(file)->inner(); }

  /// Counts an operation that changes the disk; false once the power is off.
  bool powered() {
    if (off_) return false;
    ++operations_;
    if (left_ > 0 && --left_ == 0) off_ = true;
    return !off_;
  }

  static int open(sqlite3_vfs* vfs, const char* name, sqlite3_file* file, int flags, int* out_flags) {
    auto* owner = static_cast<PowerVfs*>(vfs->pAppData);
    File* mine = self(file);
    std::memset(static_cast<void*>(mine), 0, sizeof(File));
    if (owner->off_) return SQLITE_CANTOPEN;
    const int result = owner->real_->xOpen(owner->real_, name, mine->inner(), flags, out_flags);
    if (result != SQLITE_OK) return result;
    mine->owner = owner;
    mine->path = new std::string(name ? name : "");
    mine->base.pMethods = methods();
    if (name) {
      State& state = owner->states_[name];
      if (!state.exists) state = State{};
      if (state.flushed.empty() && state.pending.empty()) {
        std::ifstream before(name, std::ios::binary);
        state.flushed.assign(std::istreambuf_iterator<char>(before), {});
      }
      state.exists = true;
    }
    return SQLITE_OK;
  }

  static int remove(sqlite3_vfs* vfs, const char* name, int sync_folder) {
    auto* owner = static_cast<PowerVfs*>(vfs->pAppData);
    if (!owner->powered()) return SQLITE_IOERR_DELETE;
    owner->states_[name].exists = false;
    return owner->real_->xDelete(owner->real_, name, sync_folder);
  }

  static int close(sqlite3_file* file) {
    const int result = inner(file)->pMethods->xClose(inner(file));
    delete self(file)->path;
    return result;
  }
  static int write(sqlite3_file* file, const void* bytes, int n, sqlite3_int64 offset) {
    File* mine = self(file);
    const bool was_on = !mine->owner->off_;
    const bool on = mine->owner->powered();
    // The write during which the power goes may still have reached some sectors.
    if (was_on)
      mine->owner->states_[*mine->path].pending.push_back(
          {offset, std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(n)), false});
    if (!on) return SQLITE_IOERR_WRITE;
    return inner(file)->pMethods->xWrite(inner(file), bytes, n, offset);
  }
  static int truncate(sqlite3_file* file, sqlite3_int64 size) {
    File* mine = self(file);
    if (!mine->owner->powered()) return SQLITE_IOERR_TRUNCATE;
    mine->owner->states_[*mine->path].pending.push_back({size, "", true});
    return inner(file)->pMethods->xTruncate(inner(file), size);
  }
  static int sync(sqlite3_file* file, int flags) {
    File* mine = self(file);
    if (!mine->owner->powered()) return SQLITE_IOERR_FSYNC;
    State& state = mine->owner->states_[*mine->path];
    for (const Change& change : state.pending) {
      const auto offset = static_cast<std::size_t>(change.offset);
      if (change.cut) {
        state.flushed.resize(offset);
      } else {
        if (state.flushed.size() < offset + change.bytes.size())
          state.flushed.resize(offset + change.bytes.size(), '\0');
        std::memcpy(state.flushed.data() + offset, change.bytes.data(), change.bytes.size());
      }
    }
    state.pending.clear();
    return inner(file)->pMethods->xSync(inner(file), flags);
  }
  static int read(sqlite3_file* f, void* to, int n, sqlite3_int64 at) {
    return inner(f)->pMethods->xRead(inner(f), to, n, at);
  }
  static int size(sqlite3_file* f, sqlite3_int64* to) { return inner(f)->pMethods->xFileSize(inner(f), to); }
  static int lock(sqlite3_file* f, int level) { return inner(f)->pMethods->xLock(inner(f), level); }
  static int unlock(sqlite3_file* f, int level) { return inner(f)->pMethods->xUnlock(inner(f), level); }
  static int reserved(sqlite3_file* f, int* to) {
    return inner(f)->pMethods->xCheckReservedLock(inner(f), to);
  }
  static int control(sqlite3_file* f, int op, void* arg) {
    return inner(f)->pMethods->xFileControl(inner(f), op, arg);
  }
  static int sector(sqlite3_file*) { return kSector; }
  static int traits(sqlite3_file*) {
    return 0;
  }  // promises nothing: no atomic writes, no power-safe overwrite
  static int shm_map(sqlite3_file* f, int page, int size, int extend, void volatile** to) {
    return inner(f)->pMethods->xShmMap(inner(f), page, size, extend, to);
  }
  static int shm_lock(sqlite3_file* f, int at, int n, int flags) {
    return inner(f)->pMethods->xShmLock(inner(f), at, n, flags);
  }
  static void shm_barrier(sqlite3_file* f) { inner(f)->pMethods->xShmBarrier(inner(f)); }
  static int shm_unmap(sqlite3_file* f, int remove_it) {
    return inner(f)->pMethods->xShmUnmap(inner(f), remove_it);
  }

  static const sqlite3_io_methods* methods() {
    static const sqlite3_io_methods all{2,        close,       read,      write,   truncate, sync,   size,
                                        lock,     unlock,      reserved,  control, sector,   traits, shm_map,
                                        shm_lock, shm_barrier, shm_unmap, nullptr, nullptr};
    return &all;
  }

  sqlite3_vfs* real_;
  sqlite3_vfs vfs_{};
  std::map<std::string, State> states_;
  int left_ = 0, operations_ = 0;
  bool off_ = false;
};

}  // namespace stumpwise::book
