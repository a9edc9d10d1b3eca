#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "shape/shape.h"

namespace tackcloth::shape {
namespace {

// A random star-shaped outline whose sides bow in and out a little; never crosses itself.
Region star(std::mt19937& random, Point center, double size) {
  std::uniform_real_distribution<double> radius(0.6 * size, size), bow(-0.12, 0.12);
  const int corners = 3 + static_cast<int>(random() % 9);
  Outline outline;
  for (int i = 0; i < corners; ++i) {
    const double angle = 2 * std::numbers::pi * i / corners, r = radius(random);
    outline.edges.push_back({{center.x + r * std::cos(angle), center.y + r * std::sin(angle)}, bow(random)});
  }
  return {{outline}};
}

TEST(Area, OfSimpleShapesIsClosedForm) {
  EXPECT_NEAR(area_mm2(rectangle({5, 7}, 30, 20)), 600, 1e-12);
  EXPECT_NEAR(length_mm(rectangle({5, 7}, 30, 20)), 100, 1e-12);
  EXPECT_NEAR(area_mm2(circle({100, -3}, 19)), std::numbers::pi * 361, 1e-9);
  EXPECT_NEAR(length_mm(circle({100, -3}, 19)), 2 * std::numbers::pi * 19, 1e-10);
  for (const bool up : {true, false}) {
    EXPECT_NEAR(area_mm2(half_circle({0, 0}, 190, up)), std::numbers::pi * 190 * 190 / 2, 1e-8);
    EXPECT_NEAR(length_mm(half_circle({0, 0}, 190, up)), (std::numbers::pi + 2) * 190, 1e-9);
  }
  EXPECT_TRUE(contains(half_circle({0, 0}, 10, true), {0, 9.9}));
  EXPECT_FALSE(contains(half_circle({0, 0}, 10, true), {0, -0.1}));
  EXPECT_TRUE(contains(half_circle({0, 0}, 10, false), {0, -9.9}));
}

// Circular segment: R²/2 (θ - sin θ) with R = c²/8h + h/2, θ = 2 asin(c / 2R) (any handbook of mensuration, e.g.
// Machinery's Handbook, "Areas and dimensions of plane figures").
TEST(Area, OfAnArchIsRectanglePlusSegment) {
  for (const double rise : {1.0, 40.0, 150.0, 299.999, 300.0}) {
    const auto shape = arch({3, 4}, 600, 250, rise);
    ASSERT_TRUE(shape);
    const double r = arc_radius_mm(600, rise);
    const double angle = 2 * std::asin(std::min(1.0, 300 / r));
    EXPECT_NEAR(area_mm2(*shape), 600 * 250 + r * r / 2 * (angle - std::sin(angle)), 1e-5 * r) << rise;
    EXPECT_NEAR(length_mm(*shape), 600 + 500 + r * angle, 1e-5 * r) << rise;
  }
  EXPECT_FALSE(arch({0, 0}, 600, 250, 301));
  EXPECT_FALSE(arch({0, 0}, 600, -1, 100));
  EXPECT_FALSE(arch({0, 0}, 0, 1, 100));
  EXPECT_FALSE(arch({0, 0}, std::nan(""), 1, 100));
}

TEST(Arc, RadiusFromChordAndRise) {
  EXPECT_DOUBLE_EQ(arc_radius_mm(8, 2), 5);        // 3-4-5 triangle
  EXPECT_DOUBLE_EQ(arc_radius_mm(24, 8), 13);      // 5-12-13 triangle
  EXPECT_DOUBLE_EQ(arc_radius_mm(600, 300), 300);  // half circle
  const auto round = circle_through({0, 0}, {4, 2}, {8, 0});
  ASSERT_TRUE(round);
  EXPECT_NEAR(round->radius_mm, 5, 1e-12);
  EXPECT_NEAR(round->center.y, -3, 1e-12);
  EXPECT_FALSE(circle_through({0, 0}, {1, 1}, {2, 2}));
  EXPECT_FALSE(circle_through({0, 0}, {0, 0}, {2, 2}));
}

TEST(Polygon, RefusesWhatIsNoShape) {
  EXPECT_TRUE(polygon({{0, 0}, {4, 0}, {0, 3}}));
  EXPECT_NEAR(area_mm2(*polygon({{0, 0}, {0, 3}, {4, 0}})), 6, 1e-12);  // clockwise is turned round
  EXPECT_FALSE(polygon({}));
  EXPECT_FALSE(polygon({{0, 0}, {4, 0}}));
  EXPECT_FALSE(polygon({{0, 0}, {4, 0}, {8, 0}}));
  EXPECT_FALSE(polygon({{0, 0}, {4, 4}, {4, 0}, {0, 4}}));  // bow tie
  EXPECT_FALSE(polygon({{0, 0}, {4, 0}, {4, 0}, {0, 4}}));  // twice the same corner
  EXPECT_FALSE(polygon({{0, 0}, {4, 0}, {2, 0}, {2, 3}}));  // back along a side
  EXPECT_FALSE(polygon({{0, 0}, {4, 0}, {std::nan(""), 3}}));
  EXPECT_FALSE(polygon({{0, 0}, {4, 0}, {INFINITY, 3}}));
}

TEST(Area, OfRandomShapesAgreesWithFlattening) {
  std::mt19937 random(11);
  for (int round = 0; round < 300; ++round) {
    const Region region = star(random, {500, -200}, 300);
    const std::vector<Point> points = flatten(region.outlines[0], 1e-4);
    double twice = 0, around = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const Point& a = points[i];
      const Point& b = points[(i + 1) % points.size()];
      twice += a.x * b.y - b.x * a.y;
      around += std::hypot(b.x - a.x, b.y - a.y);
    }
    EXPECT_NEAR(area_mm2(region), twice / 2, 1e-4 * around + 1e-6);
    EXPECT_NEAR(length_mm(region), around, 1e-5 * around);
  }
}

TEST(Contains, AgreesWithAreaByCounting) {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> anywhere(-300, 300);
  for (int round = 0; round < 10; ++round) {
    const Region region = star(random, {0, 0}, 250);
    int hits = 0;
    constexpr int kThrows = 20000;
    for (int i = 0; i < kThrows; ++i) hits += contains(region, {anywhere(random), anywhere(random)}) ? 1 : 0;
    const double share = area_mm2(region) / 360000;
    EXPECT_NEAR(double(hits) / kThrows, share, 5 * std::sqrt(share * (1 - share) / kThrows));
  }
}

TEST(Boolean, WhatIsNotCutStaysExact) {
  const Region face = rectangle({0, 0}, 680, 410);
  const Region sun = half_circle({340, 0}, 190, true);
  EXPECT_NEAR(area_mm2(intersect(face, sun)), std::numbers::pi * 190 * 190 / 2, 1e-7);
  EXPECT_NEAR(area_mm2(subtract(face, sun)), 680 * 410 - std::numbers::pi * 190 * 190 / 2, 1e-7);
  const Region hole = subtract(face, circle({340, 200}, 100));
  ASSERT_EQ(hole.outlines.size(), 2u);
  EXPECT_NEAR(area_mm2(hole), 680 * 410 - std::numbers::pi * 1e4, 1e-7);
  EXPECT_NEAR(length_mm(hole), 2 * (680 + 410) + 2 * std::numbers::pi * 100, 1e-8);
  EXPECT_FALSE(contains(hole, {340, 200}));
  EXPECT_TRUE(contains(hole, {340, 301}));
  EXPECT_NEAR(area_mm2(unite(hole, circle({340, 200}, 100))), 680 * 410, 1e-7);
  EXPECT_NEAR(area_mm2(subtract(sun, face)), 0, 1e-9);
  EXPECT_TRUE(intersect(face, circle({2000, 2000}, 10)).outlines.empty());
}

// Lens of two equal circles a distance d apart: 2 r² acos(d / 2r) - d/2 sqrt(4r² - d²).
TEST(Boolean, CutArcsKeepTheTolerance) {
  const double r = 100, d = 120;
  const double lens = 2 * r * r * std::acos(d / 2 / r) - d / 2 * std::sqrt(4 * r * r - d * d);
  const Region a = circle({0, 0}, r), b = circle({d, 0}, r);
  EXPECT_NEAR(area_mm2(intersect(a, b)), lens, 0.5);
  EXPECT_NEAR(area_mm2(unite(a, b)), 2 * std::numbers::pi * r * r - lens, 0.5);
  EXPECT_NEAR(area_mm2(intersect(a, b, 1e-5)), lens, 1e-3);
}

TEST(Boolean, PartsOfRandomShapesAddUp) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> shift(-400, 400);
  for (int round = 0; round < 200; ++round) {
    const Region a = star(random, {0, 0}, 300);
    const Region b =
        round % 3 == 0 ? circle({shift(random), shift(random)}, 150) : star(random, {shift(random), 50}, 200);
    const double whole_a = area_mm2(a), whole_b = area_mm2(b);
    const double both = area_mm2(intersect(a, b)), left = area_mm2(subtract(a, b)), joined = area_mm2(unite(a, b));
    // A cut arc is off by at most the tolerance along its boundary.
    const double slack = 0.01 * (length_mm(a) + length_mm(b));
    EXPECT_NEAR(both + left, whole_a, slack);
    EXPECT_NEAR(joined + both, whole_a + whole_b, slack);
    EXPECT_LE(both, std::min(whole_a, whole_b) + slack);
    EXPECT_GE(left, -slack);
  }
}

TEST(Offset, KeepsSquareCornersAndRoundShapes) {
  EXPECT_NEAR(area_mm2(offset(rectangle({0, 0}, 100, 50), 10)), 120 * 70, 1e-6);
  EXPECT_NEAR(area_mm2(offset(rectangle({0, 0}, 100, 50), -10)), 80 * 30, 1e-6);
  EXPECT_NEAR(area_mm2(offset(circle({0, 0}, 50), 5)), std::numbers::pi * 55 * 55, 1e-8);
  EXPECT_TRUE(offset(rectangle({0, 0}, 100, 50), -30).outlines.empty());
  EXPECT_TRUE(offset(circle({0, 0}, 5), -6).outlines.empty());
}

TEST(InnerBoundary, CountsOnlyWhatLiesInsideTheFace) {
  const Region face = rectangle({0, 0}, 680, 410);
  // The base of a half circle on the lower edge needs no tape.
  EXPECT_NEAR(inner_boundary_mm(half_circle({340, 0}, 190, true), face), std::numbers::pi * 190, 1e-9);
  EXPECT_NEAR(inner_boundary_mm(half_circle({340, 100}, 190, true), face), (std::numbers::pi + 2) * 190, 1e-9);
  EXPECT_NEAR(inner_boundary_mm(circle({340, 200}, 50), face), 2 * std::numbers::pi * 50, 1e-9);
  EXPECT_NEAR(inner_boundary_mm(face, face), 0, 1e-9);
  EXPECT_NEAR(inner_boundary_mm(rectangle({0, 100}, 680, 90), face), 2 * 680, 1e-9);
  EXPECT_NEAR(inner_boundary_mm(rectangle({100, 0}, 90, 60), face), 2 * 60 + 90, 1e-9);
  // Sticks out: only the part within counts.
  EXPECT_NEAR(inner_boundary_mm(rectangle({600, 300}, 500, 50), face), 80 * 2 + 50, 1e-9);
  // A zone and what it leaves have the same line.
  EXPECT_NEAR(inner_boundary_mm(subtract(face, half_circle({340, 0}, 190, true)), face), std::numbers::pi * 190, 1e-6);
  // Along a curved edge of the face itself.
  const Region round = circle({0, 0}, 100);
  EXPECT_NEAR(inner_boundary_mm(half_circle({0, 0}, 100, true), round), 200, 1e-9);
}

TEST(Flatten, StaysWithinTheTolerance) {
  for (const double tolerance : {1.0, 0.1, 0.001}) {
    for (const Point& p : flatten(circle({10, 20}, 250).outlines[0], tolerance))
      EXPECT_NEAR(std::hypot(p.x - 10, p.y - 20), 250, 1e-9);
    const auto points = flatten(circle({10, 20}, 250).outlines[0], tolerance);
    for (std::size_t i = 1; i < points.size(); ++i) {
      const Point middle{(points[i].x + points[i - 1].x) / 2, (points[i].y + points[i - 1].y) / 2};
      EXPECT_LE(250 - std::hypot(middle.x - 10, middle.y - 20), tolerance * 1.0001);
    }
  }
  EXPECT_TRUE(flatten({}, 0.1).empty());
  EXPECT_EQ(area_mm2(Region{}), 0);
  EXPECT_FALSE(contains(Region{}, {0, 0}));
}

}  // namespace
}  // namespace tackcloth::shape
