#include "color/difference.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <string>

#include "plain_difference.h"
#include "support.h"

namespace tackcloth::color {
namespace {

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

// Word for word as printed, on random pairs and on the awkward ones: greys, equal, opposite and nearly opposite hues.
TEST(Difference, TheFormulaAsPrinted) {
  std::mt19937 random(23);
  std::uniform_real_distribution<double> l(0, 100), ab(-130, 130), small(-1e-3, 1e-3);
  const auto same = [](const Lab& a, const Lab& b) {
    EXPECT_NEAR(difference_2000(a, b), plain_difference_2000(a, b), 1e-9)
        << a.l << " " << a.a << " " << a.b << ", " << b.l << " " << b.a << " " << b.b;
  };
  for (int i = 0; i < 20000; ++i) {
    const Lab a{l(random), ab(random), ab(random)}, b{l(random), ab(random), ab(random)};
    same(a, b);
    same(a, {a.l + small(random), a.a + small(random), a.b + small(random)});
    same(a, {b.l, -a.a * 0.7 + 1e-2, -a.b * 0.7});
  }
  for (const double a : {-40.0, 0.0, 40.0})
    for (const double b : {-40.0, 0.0, 40.0}) {
      same({50, a, b}, {60, 0, 0});
      same({50, 0, 0}, {60, a, b});
      same({50, a, b}, {50, a, b});
    }
  // Opposite along the axes, where the printed angles are exact.
  same({50, 30, 0}, {50, -20, 0});
  same({50, -30, 0}, {50, 20, 0});
  same({50, 0, 30}, {50, 0, -20});
  same({50, 0, -30}, {50, 0, 20});
}

}  // namespace
}  // namespace tackcloth::color
