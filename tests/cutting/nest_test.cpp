#include "cutting/nest.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numbers>
#include <random>

#include "shape/draw.h"

namespace tackcloth::cutting {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

Options few(std::int64_t layouts) {
  Options options;
  options.max_layouts = layouts;
  return options;
}

Stock roll(double width) {
  Stock stock;
  stock.roll_width_mm = width;
  return stock;
}

TEST(Nest, RectanglesByHand) {
  // Two of 50 x 30 beside each other on 100: as wide as the roll.
  const std::vector<Shape> shapes = {{"patch", shape::rectangle({7, -3}, 50, 30), 4}};
  const auto nested = nest(shapes, roll(100), few(20));
  ASSERT_TRUE(nested.has_value());
  EXPECT_THAT(nest_faults(shapes, roll(100), *nested), IsEmpty());
  EXPECT_NEAR(nested->roll_mm, 60, 0.1);
  EXPECT_NEAR(nested->roll_bound_mm, 60, 1e-9);
  EXPECT_EQ(nested->places.size(), 4u);
}

TEST(Nest, TwoTrianglesMakeASquareWhenHalfATurnIsAllowed) {
  const std::vector<Shape> upright = {{"t", *shape::polygon({{0, 0}, {100, 0}, {0, 100}}), 2, Turn::none}};
  const auto apart = nest(upright, roll(101), few(30));
  ASSERT_TRUE(apart.has_value());
  EXPECT_THAT(nest_faults(upright, roll(101), *apart), IsEmpty());
  EXPECT_GT(apart->roll_mm, 190);
  std::vector<Shape> turned = upright;
  turned[0].turn = Turn::half;
  const auto square = nest(turned, roll(101), few(30));
  ASSERT_TRUE(square.has_value());
  EXPECT_THAT(nest_faults(turned, roll(101), *square), IsEmpty());
  EXPECT_LT(square->roll_mm, 101);
}

TEST(Nest, ASmallPartGoesIntoTheHoleOfALargeOne) {
  const shape::Region frame = shape::subtract(shape::rectangle({0, 0}, 100, 100), shape::circle({50, 50}, 30));
  const std::vector<Shape> shapes = {{"back", frame}, {"disc", shape::circle({0, 0}, 25)}};
  const auto nested = nest(shapes, roll(100), few(10));
  ASSERT_TRUE(nested.has_value());
  EXPECT_THAT(nest_faults(shapes, roll(100), *nested), IsEmpty());
  EXPECT_THAT(nested->left_over, IsEmpty());
  EXPECT_NEAR(nested->roll_mm, 100, 0.1);
}

TEST(Nest, KnotsOfARemnantAreLeftOutAndTheRestGoesOnTheRoll) {
  Stock stock = roll(200);
  stock.gap_mm = 2;
  stock.remnants.push_back({"leaf", shape::subtract(*shape::polygon({{0, 0}, {300, 20}, {280, 220}, {20, 180}}),
                                                    shape::circle({150, 100}, 25))});
  const std::vector<Shape> shapes = {{"a", shape::rectangle({0, 0}, 90, 60), 4, Turn::half},
                                     {"b", shape::half_circle({0, 0}, 40, true), 3, Turn::half}};
  const auto nested = nest(shapes, stock, few(40));
  ASSERT_TRUE(nested.has_value());
  EXPECT_THAT(nest_faults(shapes, stock, *nested), IsEmpty());
  EXPECT_THAT(nested->left_over, IsEmpty());
  int on_leaf = 0;
  for (const NestPlace& p : nested->places) on_leaf += p.sheet == 0;
  EXPECT_GT(on_leaf, 2);
  stock.roll_width_mm = 0;
  std::vector<Shape> many = shapes;
  many[0].quantity = 12;  // 12 * 5,400 mm² is more than the leaf has
  const auto no_roll = nest(many, stock, few(5));
  ASSERT_TRUE(no_roll.has_value());
  EXPECT_THAT(nest_faults(many, stock, *no_roll), IsEmpty());
  EXPECT_FALSE(no_roll->left_over.empty());
}

TEST(Nest, RandomOutlinesNeverOverlap) {
  std::mt19937_64 random(2);
  std::uniform_real_distribution<double> unit(0, 1);
  for (int k = 0; k < 25; ++k) {
    Stock stock = roll(150 + 100 * unit(random));
    stock.gap_mm = k % 2 == 0 ? 0 : 5 * unit(random);
    std::vector<Shape> shapes;
    for (int i = 0; i < 4; ++i) {
      std::vector<shape::Point> star;
      const int corners = 3 + static_cast<int>(5 * unit(random));
      for (int c = 0; c < corners; ++c) {
        const double angle = 2 * std::numbers::pi * c / corners, r = 15 + 45 * unit(random);
        star.push_back({r * std::cos(angle), r * std::sin(angle)});
      }
      const auto region = shape::polygon(star);
      ASSERT_TRUE(region.has_value());
      Shape s{"s" + std::to_string(i), *region, 2, i % 2 == 0 ? Turn::quarter : Turn::half};
      if (i == 0) s.region = shape::subtract(s.region, shape::circle({0, 0}, 4));
      shapes.push_back(s);
    }
    const auto nested = nest(shapes, stock, few(4));
    ASSERT_TRUE(nested.has_value());
    EXPECT_THAT(nest_faults(shapes, stock, *nested), IsEmpty()) << k;
    EXPECT_GE(nested->roll_mm + 1e-6, nested->roll_bound_mm);
    EXPECT_THAT(nested->left_over, IsEmpty());
  }
}

TEST(Nest, MoreLayoutsAreNeverWorseAndTheSameSeedGivesTheSame) {
  const std::vector<Shape> shapes = {
      {"t", *shape::polygon({{0, 0}, {80, 0}, {20, 60}}), 5, Turn::quarter},
      {"l", *shape::polygon({{0, 0}, {70, 0}, {70, 20}, {20, 20}, {20, 90}, {0, 90}}), 3, Turn::quarter}};
  const auto once = nest(shapes, roll(180), few(1)), more = nest(shapes, roll(180), few(40)),
             again = nest(shapes, roll(180), few(40));
  ASSERT_TRUE(once && more && again);
  EXPECT_LE(more->roll_mm, once->roll_mm);
  EXPECT_EQ(more->roll_mm, again->roll_mm);
  EXPECT_THAT(nest_faults(shapes, roll(180), *more), IsEmpty());
}

TEST(NestCheck, FindsPlantedFaults) {
  const std::vector<Shape> shapes = {{"p", shape::rectangle({0, 0}, 50, 30), 2}};
  Stock stock = roll(200);
  stock.gap_mm = 3;
  Nested right;
  right.places = {{0, 0, 0, 0, 0, 0}, {0, 1, 0, 0, 53, 0}};
  right.roll_mm = 30;
  EXPECT_THAT(nest_faults(shapes, stock, right), IsEmpty());
  Nested wrong = right;
  wrong.places[1].x_mm = 52.9;
  EXPECT_THAT(nest_faults(shapes, stock, wrong), ::testing::ElementsAre(HasSubstr("too close")));
  wrong = right;
  wrong.places[1].x_mm = 150.1;
  EXPECT_THAT(nest_faults(shapes, stock, wrong), ::testing::ElementsAre(HasSubstr("off its sheet")));
  wrong = right;
  wrong.places[1].quarters = 2;
  wrong.places[1].x_mm = 150;
  wrong.places[1].y_mm = 30;
  EXPECT_THAT(nest_faults(shapes, stock, wrong), ::testing::ElementsAre(HasSubstr("grain")));
  wrong = right;
  wrong.places.pop_back();
  EXPECT_THAT(nest_faults(shapes, stock, wrong), ::testing::ElementsAre(HasSubstr("0 times")));
}

TEST(Nest, BadInputIsExplained) {
  const shape::Region two = shape::unite(shape::circle({0, 0}, 10), shape::circle({100, 0}, 10));
  for (const auto& [shapes, stock] :
       std::vector<std::pair<std::vector<Shape>, Stock>>{{{}, roll(100)},
                                                         {{{"a", shape::circle({0, 0}, 10)}}, roll(0)},
                                                         {{{"a", {}}}, roll(100)},
                                                         {{{"a", two}}, roll(1000)},
                                                         {{{"a", shape::circle({0, 0}, 10), 0}}, roll(100)},
                                                         {{{"a", shape::circle({0, 0}, 10), 500}}, roll(100)},
                                                         {{{"a", shape::rectangle({0, 0}, 120, 10)}}, roll(100)}}) {
    const auto refused = nest(shapes, stock);
    ASSERT_FALSE(refused.has_value());
    for (const Problem& p : refused.error()) {
      EXPECT_FALSE(p.what.empty());
      EXPECT_FALSE(p.expected.empty());
      EXPECT_FALSE(p.remedy.empty());
    }
  }
  EXPECT_THAT(nest({{"a", shape::rectangle({0, 0}, 120, 10)}}, roll(100)).error()[0].what, HasSubstr("20 mm more"));
}

}  // namespace
}  // namespace tackcloth::cutting
