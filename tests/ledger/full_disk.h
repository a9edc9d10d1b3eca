// A disk that can be full: every write of SQLite's goes through here, and is refused with SQLITE_FULL while there is no
// room, which is what SQLite's own file layer says of ENOSPC (sqlite.org/vfs.html; os_unix.c, unixWrite).
#pragma once

#include <sqlite3.h>

#include <atomic>
#include <cstring>

namespace tackcloth::ledger {

class FullDisk {
 public:
  // Takes the place of the usual file layer for what is opened from now on, until its end.
  FullDisk() {
    real() = sqlite3_vfs_find(nullptr);
    full() = false;
    vfs_ = *real();
    vfs_.zName = "full-disk";
    vfs_.szOsFile = static_cast<int>(sizeof(File)) + real()->szOsFile;
    vfs_.xOpen = [](sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out) {
      auto* ours = reinterpret_cast<File*>(file);
      std::memset(file, 0, sizeof(File) + static_cast<std::size_t>(real()->szOsFile));
      const int code = real()->xOpen(real(), name, under(file), flags, out);
      if (under(file)->pMethods == nullptr) return code;
      ours->methods = *under(file)->pMethods;
      pass(ours->methods);
      ours->base.pMethods = &ours->methods;
      return code;
    };
    sqlite3_vfs_register(&vfs_, 1);
  }
  ~FullDisk() {
    sqlite3_vfs_unregister(&vfs_);
    sqlite3_vfs_register(real(), 1);
  }
  FullDisk(const FullDisk&) = delete;
  FullDisk& operator=(const FullDisk&) = delete;

  void fill() { full() = true; }
  void make_room() { full() = false; }

 private:
  struct File {
    sqlite3_file base;
    sqlite3_io_methods methods;
  };
  static sqlite3_vfs*& real() {
    static sqlite3_vfs* vfs = nullptr;
    return vfs;
  }
  static std::atomic<bool>& full() {
    static std::atomic<bool> value{false};
    return value;
  }
  static sqlite3_file* under(sqlite3_file* file) {
    return reinterpret_cast<sqlite3_file*>(reinterpret_cast<char*>(file) + sizeof(File));
  }
  static const sqlite3_io_methods& its(sqlite3_file* file) { return *under(file)->pMethods; }

  static void pass(sqlite3_io_methods& m) {
    m.iVersion = 2;  // without memory mapping
    m.xClose = [](sqlite3_file* f) { return its(f).xClose(under(f)); };
    m.xRead = [](sqlite3_file* f, void* to, int n, sqlite3_int64 at) { return its(f).xRead(under(f), to, n, at); };
    m.xWrite = [](sqlite3_file* f, const void* from, int n, sqlite3_int64 at) {
      return full() ? SQLITE_FULL : its(f).xWrite(under(f), from, n, at);
    };
    m.xTruncate = [](sqlite3_file* f, sqlite3_int64 to) { return its(f).xTruncate(under(f), to); };
    m.xSync = [](sqlite3_file* f, int how) { return its(f).xSync(under(f), how); };
    m.xFileSize = [](sqlite3_file* f, sqlite3_int64* size) { return its(f).xFileSize(under(f), size); };
    m.xLock = [](sqlite3_file* f, int how) { return its(f).xLock(under(f), how); };
    m.xUnlock = [](sqlite3_file* f, int how) { return its(f).xUnlock(under(f), how); };
    m.xCheckReservedLock = [](sqlite3_file* f, int* out) { return its(f).xCheckReservedLock(under(f), out); };
    m.xFileControl = [](sqlite3_file* f, int what, void* of) { return its(f).xFileControl(under(f), what, of); };
    m.xSectorSize = [](sqlite3_file* f) { return its(f).xSectorSize(under(f)); };
    m.xDeviceCharacteristics = [](sqlite3_file* f) { return its(f).xDeviceCharacteristics(under(f)); };
    m.xShmMap = [](sqlite3_file* f, int page, int size, int extend, void volatile** out) {
      return its(f).xShmMap(under(f), page, size, extend, out);
    };
    m.xShmLock = [](sqlite3_file* f, int offset, int n, int flags) {
      return its(f).xShmLock(under(f), offset, n, flags);
    };
    m.xShmBarrier = [](sqlite3_file* f) { its(f).xShmBarrier(under(f)); };
    m.xShmUnmap = [](sqlite3_file* f, int remove) { return its(f).xShmUnmap(under(f), remove); };
  }

  sqlite3_vfs vfs_{};
};

}  // namespace tackcloth::ledger
