#include "shape/snap.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "shape/draw.h"

namespace tackcloth::shape {
namespace {

const Region kFace = rectangle({0, 0}, 600, 400);

void expect_at(const Snap& snap, double x, double y, const std::string& x_why, const std::string& y_why) {
  EXPECT_NEAR(snap.to.x, x, 1e-6);
  EXPECT_NEAR(snap.to.y, y, 1e-6);
  EXPECT_EQ(snap.x_why, x_why);
  EXPECT_EQ(snap.y_why, y_why);
}

TEST(Snap, TakesTheLinesOfTheFaceEachByItself) {
  expect_at(snap({303, 71}, kFace, {}, {}), 300, 70, "centre line", "grid 5 mm");
  expect_at(snap({203, 197}, kFace, {}, {}), 200, 200, "third", "centre line");
  expect_at(snap({401, 264}, kFace, {}, {}), 400, 800.0 / 3, "third", "third");
  expect_at(snap({52, 3}, kFace, {}, {}), 50, 0, "grid 5 mm", "edge of the face");
  expect_at(snap({597, 396}, kFace, {}, {}), 600, 400, "corner of the face", "corner of the face");
  expect_at(snap({47, 63}, kFace, {}, {8, 0, ""}), 47, 63, "", "");
  expect_at(snap({47, 63}, kFace, {}, {8, 6.35, "grid 1/4 in"}), 44.45, 63.5, "grid 1/4 in", "grid 1/4 in");
  expect_at(snap({303, 197}, kFace, {}, {0, 5, "grid 5 mm"}), 305, 195, "grid 5 mm", "grid 5 mm");
}

TEST(Snap, TheGridStartsAtTheCornerOfTheFace) {
  expect_at(snap({31, 41}, rectangle({2, 3}, 600, 400), {}, {}), 32, 43, "grid 5 mm", "grid 5 mm");
}

TEST(Snap, TakesLinesOfOtherZones) {
  const std::vector<SnapZone> zones = {{"panel", rectangle({100, 80}, 150, 120)}};
  expect_at(snap({253, 140}, kFace, zones, {8, 0, ""}), 250, 133.333333, "line of zone panel", "third");
  expect_at(snap({253, 110}, kFace, zones, {8, 0, ""}), 250, 110, "line of zone panel", "");
  expect_at(snap({103, 84}, kFace, zones, {8, 0, ""}), 100, 80, "corner of zone panel", "corner of zone panel");
  // Above the zone its side is still a line to align with.
  expect_at(snap({252, 320}, kFace, zones, {8, 0, ""}), 250, 320, "line of zone panel", "");
  const std::vector<SnapZone> slanted = {{"tip", *polygon({{120, 60}, {190, 90}, {130, 170}})}};
  expect_at(snap({188, 240}, kFace, slanted, {8, 0, ""}), 190, 240, "in line with zone tip", "");
}

TEST(Snap, StaysOnCurvesAndMeetsLinesOnThem) {
  const std::vector<SnapZone> zones = {{"sun", circle({300, 150}, 100)}};
  // Nowhere near a line of the face: onto the circle, straight out from its centre.
  const double c = std::cos(0.6), s = std::sin(0.6);
  expect_at(snap({300 + 104 * c, 150 + 104 * s}, kFace, zones, {8, 5, "grid"}), 300 + 100 * c, 150 + 100 * s,
            "line of zone sun", "line of zone sun");
  // Near the top of the circle and the centre line of the face: where they cross.
  expect_at(snap({302, 251}, kFace, zones, {8, 5, "grid"}), 300, 250, "centre line", "line of zone sun");
}

TEST(Snap, NearestWinsAndTiesHaveAnOrder) {
  // 4 mm to the centre line, 3 mm to the zone's side.
  const std::vector<SnapZone> zones = {{"a", rectangle({307, 50}, 40, 40)}};
  expect_at(snap({304, 300}, kFace, zones, {8, 0, ""}), 307, 300, "line of zone a", "");
  expect_at(snap({303, 300}, kFace, zones, {8, 0, ""}), 300, 300, "centre line", "");
  // In the middle of both: the face's own line.
  expect_at(snap({303.5, 300}, kFace, zones, {8, 0, ""}), 300, 300, "centre line", "");
  // Between the lines of two zones: the lower place, whatever the order of the zones.
  std::vector<SnapZone> two = {{"b", rectangle({110, 50}, 30, 20)}, {"c", rectangle({60, 50}, 40, 20)}};
  expect_at(snap({105, 300}, kFace, two, {8, 0, ""}), 100, 300, "line of zone c", "");
  std::swap(two[0], two[1]);
  expect_at(snap({105, 300}, kFace, two, {8, 0, ""}), 100, 300, "line of zone c", "");
}

TEST(Snap, NeverGoesFurtherThanItsReachAndStaysPut) {
  std::mt19937 random(21);
  std::uniform_real_distribution<double> x(-50, 650), y(-50, 450);
  const std::vector<SnapZone> zones = {{"sun", half_circle({300, 0}, 190, true)},
                                       {"tip", *polygon({{50, 300}, {120, 330}, {60, 390}})},
                                       {"ring", *border(kFace, 10, 6)}};
  for (int i = 0; i < 3000; ++i) {
    const Point p{x(random), y(random)};
    const Snap once = snap(p, kFace, zones, {8, 0, ""});
    EXPECT_LE(std::hypot(once.to.x - p.x, once.to.y - p.y), 8 * std::sqrt(2.0) + 1e-6);
    EXPECT_TRUE(!once.x_why.empty() || once.to.x == p.x);
    EXPECT_TRUE(!once.y_why.empty() || once.to.y == p.y);
    // What has come to rest in both directions is on something; let go there, it stays.
    if (once.x_why.empty() || once.y_why.empty()) continue;
    const Snap twice = snap(once.to, kFace, zones, {8, 0, ""});
    const Snap thrice = snap(twice.to, kFace, zones, {8, 0, ""});
    EXPECT_NEAR(thrice.to.x, twice.to.x, 1e-6) << p.x << ", " << p.y;
    EXPECT_NEAR(thrice.to.y, twice.to.y, 1e-6) << p.x << ", " << p.y;
  }
}

TEST(Snap, LeavesNonsenseAlone) {
  EXPECT_TRUE(std::isnan(snap({std::nan(""), 5}, kFace, {}, {}).to.x));
  EXPECT_EQ(snap({1e9, 5}, kFace, {}, {}).to.x, 1e9);
  expect_at(snap({31, 41}, {}, {}, {0, 5, "grid 5 mm"}), 30, 40, "grid 5 mm", "grid 5 mm");
  expect_at(snap({31, 41}, kFace, {}, {std::nan(""), std::nan(""), ""}), 31, 41, "", "");
}

// What the shape keeps free below is kept free above and on both sides; at an edge there is nothing to match.
TEST(Snap, EqualMargins) {
  SnapOptions options;
  options.grid_mm = 0;
  options.margins_mm = {37, 0, std::nan("")};
  const Region face = rectangle({0, 0}, 680, 410);
  const Snap high = snap({300, 370}, face, {}, options);
  EXPECT_DOUBLE_EQ(high.to.y, 410 - 37);
  EXPECT_EQ(high.y_why, "equal margin");
  EXPECT_EQ(high.x_why, "");
  const Snap corner = snap({645, 40}, face, {}, options);
  EXPECT_DOUBLE_EQ(corner.to.x, 680 - 37);
  EXPECT_DOUBLE_EQ(corner.to.y, 37);
  // As near to an edge as to a margin the edge holds: it comes first.
  options.margins_mm = {8};
  EXPECT_EQ(snap({4, 200}, face, {}, options).x_why, "edge of the face");
}

}  // namespace
}  // namespace tackcloth::shape
