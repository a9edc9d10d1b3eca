#include "color/difference.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace tackcloth::color {
namespace {

std::filesystem::path shared_data() {
  if (const char* named = std::getenv("TACKCLOTH_DATA")) return named;
  return std::filesystem::path(TACKCLOTH_SOURCE_DIR) / "../shared/data";
}

// Sharma, Wu and Dalal 2005, table 1: all 34 pairs, to the four decimals they are given in.
TEST(Difference, SharmaPairs) {
  std::ifstream file(shared_data() / "colour/ciede2000_sharma_2005.csv");
  if (!file) GTEST_SKIP() << "shared/data/colour is not here: the 34 published pairs were NOT checked";
  std::string line;
  std::getline(file, line);
  int pairs = 0;
  while (std::getline(file, line)) {
    std::istringstream in(line);
    double v[7];
    char comma;
    for (int i = 0; i < 7; ++i) {
      in >> v[i];
      if (i < 6) in >> comma;
    }
    ASSERT_TRUE(in) << line;
    const Lab a{v[0], v[1], v[2]}, b{v[3], v[4], v[5]};
    EXPECT_NEAR(difference_2000(a, b), v[6], 1e-4) << line;
    EXPECT_NEAR(difference_2000(b, a), v[6], 1e-4) << line;
    ++pairs;
  }
  EXPECT_EQ(pairs, 34);
}

}  // namespace
}  // namespace tackcloth::color
