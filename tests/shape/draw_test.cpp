#include "shape/draw.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

namespace tackcloth::shape {
namespace {

constexpr double kPi = std::numbers::pi;

// Every refusal says what, what is expected and how to mend it.
template <class T>
void expect_words(const Result<T>& refused) {
  ASSERT_FALSE(refused.has_value());
  EXPECT_FALSE(refused.error().what.empty());
  EXPECT_FALSE(refused.error().expected.empty());
  EXPECT_FALSE(refused.error().remedy.empty());
}

int arcs_of(const Region& region) {
  int arcs = 0;
  for (const Outline& outline : region.outlines)
    for (const Edge& edge : outline.edges) arcs += edge.bulge != 0 ? 1 : 0;
  return arcs;
}

// wh - (4 - π) r²; around 2 (w + h) - (8 - 2π) r.
TEST(RoundedRectangle, IsClosedForm) {
  for (const double r : {0.0, 1.0, 20.0, 100.0}) {
    const auto shape = rounded_rectangle({7, -3}, 300, 200, r);
    ASSERT_TRUE(shape);
    EXPECT_NEAR(area_mm2(*shape), 300 * 200 - (4 - kPi) * r * r, 1e-8) << r;
    EXPECT_NEAR(length_mm(*shape), 1000 - (8 - 2 * kPi) * r, 1e-9) << r;
    EXPECT_EQ(arcs_of(*shape), r > 0 ? 4 : 0);
    const Box box = bounds(*shape);
    EXPECT_NEAR(box.left, 7, 1e-9);
    EXPECT_NEAR(box.top, 197, 1e-9);
  }
  EXPECT_NEAR(area_mm2(*rounded_rectangle({0, 0}, 80, 80, 40)), kPi * 1600, 1e-9);  // a circle
  expect_words(rounded_rectangle({0, 0}, 300, 200, 101));
  expect_words(rounded_rectangle({0, 0}, 300, 200, -1));
  expect_words(rounded_rectangle({0, 0}, 0, 200, 1));
  expect_words(rounded_rectangle({0, 0}, 300, std::nan(""), 1));
}

TEST(Bounds, TakeTheBowOfArcsIn) {
  const Box half = bounds(half_circle({100, 10}, 40, true));
  EXPECT_DOUBLE_EQ(half.left, 60);
  EXPECT_DOUBLE_EQ(half.bottom, 10);
  EXPECT_NEAR(half.top, 50, 1e-9);
  const auto low = arch({0, 0}, 600, 250, 90);
  EXPECT_NEAR(bounds(*low).top, 340, 1e-9);
  EXPECT_EQ(bounds({}).width(), 0);
}

TEST(Stripe, CutsTheFace) {
  const Region face = rectangle({0, 0}, 600, 400);
  EXPECT_NEAR(area_mm2(*stripe(face, {0, 100}, 0, 30)), 600 * 30, 1e-6);
  EXPECT_NEAR(area_mm2(*stripe(face, {300, 0}, 90, 30)), 400 * 30, 1e-6);
  EXPECT_NEAR(area_mm2(*stripe(face, {300, 0}, -90, 30)), 400 * 30, 1e-6);
  // At 45 degrees through the middle it runs from bottom to top: a parallelogram of height 400 and base 30 / sin 45.
  EXPECT_NEAR(area_mm2(*stripe(face, {300, 200}, 45, 30)), 400 * 30 * std::sqrt(2.0), 1e-2);
  EXPECT_NEAR(area_mm2(*stripe(face, {300, 200}, 45 + 360, 30)), 400 * 30 * std::sqrt(2.0), 1e-2);
  // Across a corner, both lines on the face: the difference of two right triangles with equal legs.
  const double near = 200 * std::sqrt(2.0) / 2 - 15, far = near + 30;
  EXPECT_NEAR(area_mm2(*stripe(face, {200, 0}, 135, 30)), far * far - near * near, 1e-2);
  // An opening is left out.
  const Region frame = subtract(face, rectangle({100, 100}, 400, 200));
  EXPECT_NEAR(area_mm2(*stripe(frame, {0, 200}, 0, 30)), 200 * 30, 1e-6);
  expect_words(stripe(face, {0, 500}, 0, 30));
  expect_words(stripe(face, {0, 100}, 0, 0));
  expect_words(stripe(face, {0, 100}, std::nan(""), 10));
}

TEST(Border, IsTheRingAlongTheEdge) {
  const Region face = rectangle({0, 0}, 600, 400);
  const auto ring = border(face, 20, 8);
  ASSERT_TRUE(ring);
  EXPECT_EQ(ring->outlines.size(), 2u);
  EXPECT_NEAR(area_mm2(*ring), 560 * 360 - 544 * 344, 1e-6);
  EXPECT_NEAR(length_mm(*ring), 2 * (560 + 360) + 2 * (544 + 344), 1e-6);
  EXPECT_NEAR(area_mm2(*border(face, 0, 50)), 600 * 400 - 500 * 300, 1e-6);
  const Region frame = subtract(face, rectangle({100, 100}, 400, 200));
  EXPECT_NEAR(area_mm2(*border(frame, 90, 20)), (420 * 220 - 400 * 200), 1e-4);
  expect_words(border(face, 0, 200));
  expect_words(border(face, 150, 51));
  expect_words(border(face, 0, 0));
  expect_words(border(face, -1, 5));
  expect_words(border(face, 0, std::nan("")));
}

// Sides moved inwards keep their arcs, and the area is that of the smaller shape of the same kind.
TEST(Offset, KeepsTrueArcs) {
  const Region round = *rounded_rectangle({0, 0}, 300, 200, 40);
  for (const double by : {-10.0, -39.9, 15.0}) {
    const Region moved = offset(round, by);
    EXPECT_EQ(arcs_of(moved), 4);
    EXPECT_NEAR(area_mm2(moved), (300 + 2 * by) * (200 + 2 * by) - (4 - kPi) * (40 + by) * (40 + by), 1e-6) << by;
  }
  // The corner's arc is gone: square corners.
  const Region square = offset(round, -60);
  EXPECT_EQ(arcs_of(square), 0);
  EXPECT_NEAR(area_mm2(square), 180 * 80, 1e-4);
  // A half circle of radius R moved in by d: a circle of R - d cut by a line d above its centre.
  const Region half = offset(half_circle({0, 0}, 100, true), -10);
  const double r = 90, d = 10, angle = 2 * std::acos(d / r);
  EXPECT_EQ(arcs_of(half), 1);
  EXPECT_NEAR(area_mm2(half), r * r / 2 * (angle - std::sin(angle)), 1e-6);
  // A hollow side grows when the shape is moved in.
  const Region hollow = *curved_polygon({{{0, 0}, 0}, {{200, 0}, 0}, {{200, 150}, 0}, {{0, 150}, -30}});
  EXPECT_EQ(arcs_of(offset(hollow, -8)), 1);
}

TEST(Symmetric, JoinsTheMirrorImages) {
  const Region disc = circle({100, 100}, 30);
  EXPECT_NEAR(area_mm2(symmetric(disc, Mirror::left_right, {300, 200})), 2 * kPi * 900, 1e-6);
  EXPECT_NEAR(area_mm2(symmetric(disc, Mirror::up_down, {300, 200})), 2 * kPi * 900, 1e-6);
  const Region four = symmetric(disc, Mirror::both, {300, 200});
  EXPECT_EQ(four.outlines.size(), 4u);
  EXPECT_NEAR(area_mm2(four), 4 * kPi * 900, 1e-6);
  EXPECT_TRUE(contains(four, {500, 300}));
  EXPECT_EQ(area_mm2(symmetric(disc, Mirror::none, {300, 200})), area_mm2(disc));
  // On the centre line it is its own mirror image; across it the two halves become one.
  EXPECT_NEAR(area_mm2(symmetric(circle({300, 100}, 30), Mirror::left_right, {300, 200})), kPi * 900, 1e-6);
  const Region left = *curved_polygon({{{300, 0}, 0}, {{300, 100}, 0}, {{200, 0}, 100 - std::sqrt(5000.0)}});
  const Region both = symmetric(left, Mirror::left_right, {300, 0});
  EXPECT_EQ(both.outlines.size(), 1u);
  EXPECT_NEAR(area_mm2(both), kPi * 1e4 / 2, 1e-2);
}

TEST(Mirrored, KeepsAreaLengthAndHoles) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> at(-300, 300), size(20, 200);
  for (int i = 0; i < 100; ++i) {
    const Region shape = subtract(*rounded_rectangle({at(random), at(random)}, 250, 240, size(random) / 2),
                                  circle({at(random), at(random)}, size(random)));
    for (const Mirror about : {Mirror::left_right, Mirror::up_down, Mirror::both}) {
      const Region turned = mirrored(shape, about, {10, 20});
      EXPECT_NEAR(area_mm2(turned), area_mm2(shape), 1e-6);
      EXPECT_NEAR(length_mm(turned), length_mm(shape), 1e-6);
      EXPECT_NEAR(area_mm2(subtract(mirrored(turned, about, {10, 20}), shape)), 0, 1);
    }
  }
}

TEST(CurvedPolygon, AddsTheBowsWhicheverWayRound) {
  // A square with one side bowed out to a half circle, and the same told clockwise.
  const double expected = 100 * 100 + kPi * 50 * 50 / 2;
  EXPECT_NEAR(area_mm2(*curved_polygon({{{0, 0}}, {{100, 0}}, {{100, 100}}, {{0, 100}, 50}})), expected, 1e-8);
  EXPECT_NEAR(area_mm2(*curved_polygon({{{0, 0}}, {{0, 100}}, {{100, 100}, 50}, {{100, 0}}})), expected, 1e-8);
  EXPECT_NEAR(area_mm2(*curved_polygon({{{0, 0}}, {{100, 0}}, {{100, 100}}, {{0, 100}, -20}})),
              1e4 - (area_mm2(*curved_polygon({{{0, 0}}, {{100, 0}}, {{100, 100}}, {{0, 100}, 20}})) - 1e4), 1e-8);
  // The lens of two circles of radius r, centres r apart: r² (2π/3 - √3/2); each bow rises r/2 over a chord of √3 r.
  const double r = 80, c = std::sqrt(3.0) * r;
  EXPECT_NEAR(area_mm2(*curved_polygon({{{0, 0}, r / 2}, {{c, 0}, r / 2}})), r * r * (2 * kPi / 3 - std::sqrt(3.0) / 2),
              1e-8);
  expect_words(curved_polygon({}));
  expect_words(curved_polygon({{{0, 0}}, {{100, 0}}}));
  expect_words(curved_polygon({{{0, 0}}, {{100, 0}, 51}, {{100, 100}}}));             // more than a half circle
  expect_words(curved_polygon({{{0, 0}}, {{100, 0}}, {{100, 0}}, {{0, 9}}}));         // twice the same corner
  expect_words(curved_polygon({{{0, 0}}, {{100, 0}, -45}, {{100, 20}}, {{0, 20}}}));  // the hollow cuts the far side
  expect_words(curved_polygon({{{0, 0}}, {{4, 4}}, {{4, 0}}, {{0, 4}}}));
  expect_words(curved_polygon({{{0, 0}}, {{100, 0}}, {{std::nan(""), 3}}}));
}

TEST(Fit, TakesTheLargestThatKeepsTheMargin) {
  EXPECT_NEAR(area_mm2(*fit_half_circle(680, 410, 0, true)), kPi * 340 * 340 / 2, 1e-6);
  EXPECT_NEAR(area_mm2(*fit_half_circle(680, 300, 20, true)), kPi * 280 * 280 / 2, 1e-6);
  EXPECT_NEAR(bounds(*fit_half_circle(680, 300, 20, false)).top, 300, 1e-9);
  EXPECT_NEAR(bounds(*fit_half_circle(680, 300, 20, false)).bottom, 20, 1e-9);
  const Box high = bounds(*fit_arch(600, 900, 50));
  EXPECT_NEAR(high.left, 50, 1e-9);
  EXPECT_NEAR(high.right, 550, 1e-9);
  EXPECT_NEAR(high.top, 850, 1e-9);
  EXPECT_NEAR(area_mm2(*fit_arch(600, 900, 50)), 500 * 600 + kPi * 250 * 250 / 2, 1e-6);
  EXPECT_NEAR(bounds(*fit_arch(600, 200, 50)).top, 150, 1e-9);
  EXPECT_NEAR(bounds(*fit_arch(600, 900, 50, 400)).top, 850, 1e-9);
  expect_words(fit_half_circle(680, 300, 300, true));
  expect_words(fit_arch(600, 900, 300));
  expect_words(fit_arch(600, 900, 50, 249));
  expect_words(fit_arch(600, 120, 50, 250));
}

TEST(Arc, ByChordAndRise) {
  const auto arc = arc_by_rise(600, 90);  // r = 600² / 720 + 45 = 545
  ASSERT_TRUE(arc);
  EXPECT_NEAR(arc->radius_mm, 545, 1e-9);
  const double half = std::asin(300.0 / 545);
  EXPECT_NEAR(arc->sweep_deg, 2 * half * 180 / kPi, 1e-9);
  EXPECT_NEAR(arc->length_mm, 545 * 2 * half, 1e-9);
  EXPECT_NEAR(arc->center.x, 300, 1e-9);
  EXPECT_NEAR(arc->center.y, 90 - 545, 1e-9);
  const auto most = arc_by_rise(80, 90);  // more than a half circle
  ASSERT_TRUE(most);
  EXPECT_GT(most->sweep_deg, 180);
  EXPECT_GT(most->center.y, 0);
  expect_words(arc_by_rise(0, 90));
  expect_words(arc_by_rise(600, -1));
  expect_words(arc_by_rise(600, std::nan("")));
}

TEST(Arc, ByRadiusLesserAndGreater) {
  const auto lesser = arc_by_radius(24, 13), greater = arc_by_radius(24, 13, true);  // 5-12-13 triangle
  ASSERT_TRUE(lesser && greater);
  EXPECT_NEAR(lesser->rise_mm, 8, 1e-12);
  EXPECT_NEAR(greater->rise_mm, 18, 1e-12);
  EXPECT_NEAR(lesser->sweep_deg + greater->sweep_deg, 360, 1e-9);
  EXPECT_NEAR(arc_by_radius(600, 300)->rise_mm, 300, 1e-6);
  EXPECT_NEAR(*rise_of_radius_mm(100, 1e7), 100.0 * 100 / 8e7, 1e-9);  // flat: c²/8r
  expect_words(arc_by_radius(600, 299));
  expect_words(arc_by_radius(600, std::nan("")));
}

TEST(Arc, ThroughThreePointsOfAnyCircle) {
  std::mt19937 random(9);
  std::uniform_real_distribution<double> at(-400, 400), size(5, 900), turn(0, 2 * kPi);
  for (int i = 0; i < 500; ++i) {
    const Point center{at(random), at(random)};
    const double r = size(random), start = turn(random), sweep = 0.2 + turn(random) * 0.9, way = i % 2 ? 1 : -1;
    const auto on = [&](double share) {
      const double angle = start + way * sweep * share;
      return Point{center.x + r * std::cos(angle), center.y + r * std::sin(angle)};
    };
    const auto arc = arc_through(on(0), on(0.4), on(1));
    ASSERT_TRUE(arc);
    EXPECT_NEAR(arc->radius_mm, r, 1e-6 * r);
    EXPECT_NEAR(arc->sweep_deg, sweep * 180 / kPi, 1e-5);
    EXPECT_NEAR(arc->length_mm, sweep * r, 1e-5 * r);
    EXPECT_NEAR(arc->rise_mm, r * (1 - std::cos(sweep / 2)), 1e-5 * r);
    EXPECT_EQ(arc->bulge > 0, way > 0);
    // As an edge: closed by its chord it holds the circular segment.
    const Outline bow{{{arc->from, 0}, {arc->to, arc->bulge}}};
    EXPECT_NEAR(std::abs(area_mm2(bow)), r * r / 2 * (sweep - std::sin(sweep)), 1e-5 * r * r);
  }
  expect_words(arc_through({0, 0}, {1, 1}, {2, 2}));
  expect_words(arc_through({0, 0}, {0, 0}, {2, 2}));
  expect_words(arc_through({0, 0}, {1e9, 1}, {2, 2}));
}

TEST(Arc, HeightsLieOnTheCircle) {
  const auto arc = arc_by_rise(600, 90);
  const std::vector<double> heights = arc_heights_mm(*arc, 8);
  ASSERT_EQ(heights.size(), 9u);
  EXPECT_NEAR(heights[4], 90, 1e-9);
  EXPECT_NEAR(heights[0], 0, 1e-9);
  for (std::size_t i = 0; i < heights.size(); ++i)
    EXPECT_NEAR(std::hypot(75.0 * double(i) - arc->center.x, heights[i] - arc->center.y), 545, 1e-9);
  EXPECT_TRUE(arc_heights_mm(*arc_by_rise(80, 90), 8).empty());
  EXPECT_NEAR(arc_heights_mm(*arc_by_rise(80, 40), 2)[0], 0, 1e-9);
}

TEST(ArchOfRadius, IsTheArchOfItsRise) {
  EXPECT_NEAR(area_mm2(*arch_of_radius({0, 0}, 600, 200, 545)), area_mm2(*arch({0, 0}, 600, 200, 90)), 1e-6);
  expect_words(arch_of_radius({0, 0}, 600, 200, 299));
}

}  // namespace
}  // namespace tackcloth::shape
