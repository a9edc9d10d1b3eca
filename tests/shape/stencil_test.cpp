#include "shape/stencil.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tackcloth::shape {
namespace {

int holes(const Region& region) {
  int count = 0;
  for (const Outline& outline : region.outlines) count += area_mm2(outline) < 0;
  return count;
}

// By hand: a 100 x 100 square with a 20 x 20 hole 10 mm from its left edge. The first bridge is 10 mm long, the other
// goes to the top, the bottom or the right: 40 mm at least; 4 mm wide each.
TEST(Stencil, IslandsAreHeld) {
  const Region zone = subtract(rectangle({0, 0}, 100, 100), rectangle({10, 40}, 20, 20));
  ASSERT_EQ(holes(zone), 1);
  const auto made = stencil(zone, 4);
  ASSERT_TRUE(made.has_value());
  EXPECT_EQ(made->bridges, 2);
  EXPECT_EQ(holes(made->cut), 0);
  const double gone = area_mm2(zone) - area_mm2(made->cut);
  EXPECT_GE(gone, 4 * 10 + 4 * 40 - 1);
  EXPECT_LE(gone, 4 * 10 + 4 * 70 + 1);
  // The bridge stands whole: nothing is cut in its middle.
  EXPECT_FALSE(contains(made->cut, {5, 50}) && contains(made->cut, {5, 44}) && contains(made->cut, {5, 56}));
}

TEST(Stencil, RingsAndIslandsInARow) {
  const Region ring = subtract(circle({0, 0}, 60), circle({0, 0}, 40));
  const auto made = stencil(ring, 5);
  ASSERT_TRUE(made.has_value());
  EXPECT_EQ(holes(made->cut), 0);
  EXPECT_EQ(made->bridges, 2);
  EXPECT_NEAR(area_mm2(ring) - area_mm2(made->cut), 2 * 5 * 20, 3);
  // An island that is nearer to another island than to the edge still holds: both hang together on the rim.
  const Region two =
      subtract(subtract(rectangle({0, 0}, 200, 100), rectangle({60, 30}, 35, 40)), rectangle({100, 30}, 35, 40));
  const auto both = stencil(two, 4);
  ASSERT_TRUE(both.has_value());
  EXPECT_EQ(holes(both->cut), 0);
}

TEST(Stencil, NothingToHoldIsLeftAlone) {
  const auto made = stencil(circle({0, 0}, 30));
  ASSERT_TRUE(made.has_value());
  EXPECT_EQ(made->bridges, 0);
  EXPECT_NEAR(area_mm2(made->cut), M_PI * 900, 1e-6);
  EXPECT_FALSE(stencil(circle({0, 0}, 30), 0.2).has_value());
}

}  // namespace
}  // namespace tackcloth::shape
