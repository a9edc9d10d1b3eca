#include <gtest/gtest.h>

#include <limits>
#include <random>

#include "materials/materials.h"

namespace tackcloth::materials {
namespace {

TEST(Price, WorkedByHand) {
  // 40.00 + 3 h 20 min at 45.00 = 150.00; 10 % of 190.00 = 19.00; 15 % of 209.00 = 31.35; 7.25 % of 240.35 = 17.425375
  const Price made = price({4000}, 3 + 20.0 / 60, {4500}, 10, 15, 7.25);
  EXPECT_EQ(made.labour.minor, 15000);
  EXPECT_EQ(made.overhead.minor, 1900);
  EXPECT_EQ(made.profit.minor, 3135);
  EXPECT_EQ(made.tax.minor, 1743);
  EXPECT_EQ(made.total.minor, 25778);
}

TEST(Price, HalfACentGoesUp) {
  // 7.25 % of 10.00 is 72.5 cents; in binary floating point 0.0725 * 1000 lies below it.
  EXPECT_EQ(price({1000}, 0, {0}, 0, 0, 7.25).tax.minor, 73);
  EXPECT_EQ(price({110}, 0, {0}, 5, 0, 0).overhead.minor, 6);  // 5.5
}

TEST(Price, SumsAlwaysMatch) {
  std::mt19937_64 random(3);
  std::uniform_real_distribution<double> share(0, 80);
  std::uniform_int_distribution<std::int64_t> cents(0, 1'000'000);
  for (int i = 0; i < 10'000; ++i) {
    const Price made =
        price({cents(random)}, share(random), {cents(random) / 100}, share(random), share(random), share(random));
    ASSERT_EQ(made.total, made.materials + made.labour + made.overhead + made.profit + made.tax);
    ASSERT_GE(made.total, made.materials);
  }
}

TEST(Price, NonsenseCountsAsZero) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(price({100}, nan, {500}, -3, nan, std::numeric_limits<double>::infinity()).total.minor, 100);
}

}  // namespace
}  // namespace tackcloth::materials
