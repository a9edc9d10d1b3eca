#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "units/time.h"

namespace tackcloth {

// Open data lies outside the source tree; a missing file skips the test that reads it.
inline std::string data_file(const std::string& name) {
  if (const char* base = std::getenv("TACKCLOTH_DATA")) return std::string(base) + "/" + name;
  return std::string(TACKCLOTH_SOURCE_DIR) + "/../shared/data/" + name;
}

inline Instant at(const char* iso) { return *parse_instant(iso); }

// A file of the test's own in the temporary directory, gone at the end.
class TempFile {
 public:
  TempFile(const std::string& name, const std::string& text)
      : path_((std::filesystem::temp_directory_path() / ("tackcloth_" + std::to_string(counter()++) + "_" + name))
                  .string()) {
    std::ofstream(path_, std::ios::binary) << text;
  }
  ~TempFile() { std::filesystem::remove(path_); }
  TempFile(const TempFile&) = delete;
  TempFile& operator=(const TempFile&) = delete;
  const std::string& path() const { return path_; }

 private:
  static int& counter() {
    static int n = std::rand() % 100000 * 100;
    return n;
  }
  std::string path_;
};

}  // namespace tackcloth
