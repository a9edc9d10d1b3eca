// Where the open data lies; tests that need it skip loudly.
#pragma once

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace tackcloth::color {

inline std::filesystem::path shared_data() {
  if (const char* named = std::getenv("TACKCLOTH_DATA")) return named;
  return std::filesystem::path(TACKCLOTH_SOURCE_DIR) / "../shared/data";
}

// Rows of numbers below a head line; empty when the file is not there.
inline std::vector<std::vector<double>> shared_table(const std::string& name) {
  std::ifstream file(shared_data() / name);
  std::vector<std::vector<double>> rows;
  std::string line, field;
  std::getline(file, line);
  while (std::getline(file, line)) {
    std::istringstream in(line);
    rows.emplace_back();
    while (std::getline(in, field, ',')) rows.back().push_back(std::stod(field));
  }
  return rows;
}

inline std::string catalog_dir() { return std::string(TACKCLOTH_SOURCE_DIR) + "/catalog"; }

}  // namespace tackcloth::color
