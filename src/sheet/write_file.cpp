// Whole or not at all: temporary file in the same directory, flushed to the disk, then renamed (POSIX rename is
// atomic).
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <vector>

#include "sheet/sheet.h"

namespace tackcloth::sheet {
namespace {

Problem trouble(const std::string& path, const std::string& doing, int error) {
  return {path,
          0,
          0,
          "cannot " + doing + ": " + std::strerror(error),
          "a place that can be written to",
          "check that the directory exists, may be written to and has room"};
}

bool write_all(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t done = ::write(file, bytes.data(), bytes.size());
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(done));
  }
  return true;
}

}  // namespace

Result<void> write_file(const std::string& path, std::string_view bytes) {
  const std::size_t slash = path.find_last_of('/');
  const std::string directory = slash == std::string::npos ? "." : slash == 0 ? "/" : path.substr(0, slash);
  const std::string pattern = path + ".XXXXXX";
  std::vector<char> name(pattern.begin(), pattern.end());
  name.push_back('\0');
  const int file = ::mkstemp(name.data());
  if (file < 0) return tl::unexpected(trouble(path, "write", errno));
  // mkstemp makes a private file; papers are for everyone the user's mask allows, or as the file before was.
  struct stat before {};
  mode_t mode = 0644;
  if (::stat(path.c_str(), &before) == 0) mode = before.st_mode & 07777;
  int error = 0;
  if (!write_all(file, bytes) || ::fchmod(file, mode) != 0 || ::fsync(file) != 0) error = errno;
  if (::close(file) != 0 && error == 0) error = errno;
  if (error == 0 && ::rename(name.data(), path.c_str()) != 0) error = errno;
  if (error != 0) {
    ::unlink(name.data());
    return tl::unexpected(trouble(path, "write", error));
  }
  // The rename itself is on the disk only after the directory is; not every file system can, and the file is whole
  // anyway.
  const int folder = ::open(directory.c_str(), O_RDONLY | O_DIRECTORY);
  if (folder >= 0) {
    ::fsync(folder);
    ::close(folder);
  }
  return {};
}

}  // namespace tackcloth::sheet
