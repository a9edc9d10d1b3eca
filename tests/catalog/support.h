// The repository's catalogue, loaded once; small catalogues written to a scratch directory.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "catalog/catalog.h"

namespace tackcloth::catalog::test {

inline std::string catalog_dir() { return std::string(TACKCLOTH_SOURCE_DIR) + "/catalog"; }

inline std::string all_text(const std::vector<Problem>& problems) {
  std::string out;
  for (const auto& problem : problems) out += to_text(problem) + "\n";
  return out;
}

inline const Catalog& shipped() {
  static const Catalog catalog = [] {
    auto loaded = load_catalog(catalog_dir());
    if (!loaded) ADD_FAILURE() << all_text(loaded.error());
    return loaded ? *loaded : Catalog{};
  }();
  return catalog;
}

// A scratch directory that goes away with the test.
class Scratch {
 public:
  Scratch() {
    const auto* info = testing::UnitTest::GetInstance()->current_test_info();
    dir_ = std::filesystem::path(testing::TempDir()) /
           ("catalog_" + std::string(info->name()) + "_" + std::to_string(::getpid()));
    std::filesystem::remove_all(dir_);
    std::filesystem::create_directories(dir_);
  }
  ~Scratch() {
    std::error_code error;
    std::filesystem::remove_all(dir_, error);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  void write(const std::string& name, const std::string& text) const {
    std::filesystem::create_directories((dir_ / name).parent_path());
    std::ofstream(dir_ / name, std::ios::binary) << text;
  }
  std::string path() const { return dir_.string(); }

 private:
  std::filesystem::path dir_;
};

}  // namespace tackcloth::catalog::test
