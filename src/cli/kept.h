// Something made of the files of a directory, kept until one of them is another: the service asks with every request.
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

#include "units/result.h"

namespace tackcloth::cli {

// Time and size of every file below a directory, by path. A change that keeps both is not seen.
using Stamps = std::map<std::string, std::pair<std::filesystem::file_time_type, std::uintmax_t>>;
inline Stamps stamps_below(const std::string& directory) {
  namespace fs = std::filesystem;
  Stamps stamps;
  std::error_code error;
  for (fs::recursive_directory_iterator it(directory, error), end; !error && it != end; it.increment(error)) {
    std::error_code gone;  // one that went just now is not there
    if (!it->is_regular_file(gone)) continue;
    const auto time = it->last_write_time(gone);
    const auto size = it->file_size(gone);
    stamps[it->path().string()] = {time, size};
  }
  return stamps;
}

// May be asked by several threads. Who holds the last one keeps it, whatever the files become.
template <class T>
class Kept {
 public:
  // `make` is called with the directory; what cannot be made is tried again the next time.
  template <class Make>
  Results<std::shared_ptr<const T>> get(const std::string& directory, const Make& make) {
    const std::lock_guard lock(mutex_);
    Stamps now = stamps_below(directory);  // before reading: what changes meanwhile is read the next time
    if (value_ && directory == directory_ && now == stamps_) return value_;
    value_.reset();
    Results<T> made = make(directory);
    if (!made) return tl::unexpected(made.error());
    value_ = std::make_shared<const T>(std::move(*made));
    directory_ = directory;
    stamps_ = std::move(now);
    return value_;
  }

 private:
  std::mutex mutex_;
  std::string directory_;
  Stamps stamps_;
  std::shared_ptr<const T> value_;
};

}  // namespace tackcloth::cli
