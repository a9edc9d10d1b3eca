#include "cutting/order.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <set>

#include "shape/draw.h"

namespace tackcloth::cutting {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using units::System;

constexpr Length kMm = 1000, kCm = 10'000;

Wanted part(const std::string& id, Length width, Length height, int quantity = 1) {
  Wanted wanted;
  wanted.id = id;
  wanted.width = width;
  wanted.height = height;
  wanted.quantity = quantity;
  return wanted;
}
Leftover left(const std::string& id, Length width, Length length) { return {id, width, length, {}, {}, {}}; }

Options some(std::int64_t layouts = 300) {
  Options options;
  options.max_layouts = layouts;
  return options;
}

const UsedGround* on(const Answer& answer, const std::string& id) {
  for (const UsedGround& ground : answer.grounds)
    if (ground.id == id) return &ground;
  return nullptr;
}

// By hand: 60 x 50 twice; one fits on the remnant of 62 x 55, so 50 cm of the roll are used instead of the same 50 for
// both side by side - and nothing new when both fit on remnants.
TEST(Order, RemnantsFirst) {
  Order order;
  order.cloth.roll_width = 140 * kCm;
  order.parts = {part("seat", 60 * kCm, 50 * kCm, 2), part("back", 130 * kCm, 40 * kCm)};
  order.remnants = {left("from the chair", 62 * kCm, 105 * kCm)};
  auto answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value());
  ASSERT_NE(on(*answer, "from the chair"), nullptr);
  EXPECT_EQ(on(*answer, "from the chair")->parts.size(), 2u);
  EXPECT_EQ(answer->length, 40 * kCm);
  EXPECT_TRUE(answer->proven);
  EXPECT_EQ(answer->tenths_m, 4);
  order.parts.pop_back();
  answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value());
  EXPECT_EQ(answer->length, 0);
  EXPECT_EQ(answer->tenths_m, 0);
  EXPECT_TRUE(answer->proven);
}

// The remnant that is filled first by size is the wrong one here: 50 x 50 fits on both, 70 x 50 on one only.
TEST(Order, SharesOutSoThatLeastNewIsUsed) {
  Order order;
  order.cloth.roll_width = 140 * kCm;
  order.parts = {part("a", 40 * kCm, 60 * kCm), part("b", 70 * kCm, 30 * kCm)};
  order.remnants = {left("wide", 70 * kCm, 60 * kCm), left("narrow", 45 * kCm, 60 * kCm)};
  const auto answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value());
  EXPECT_EQ(answer->length, 0);
}

TEST(Order, NothingNewSaysWhatIsMissing) {
  Order order;
  order.parts = {part("a", 40 * kCm, 60 * kCm), part("b", 70 * kCm, 30 * kCm)};
  order.remnants = {left("one", 45 * kCm, 65 * kCm)};
  const auto answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value());
  EXPECT_THAT(answer->missing, Contains("b"));
  EXPECT_EQ(answer->missing.size(), 1u);
  EXPECT_FALSE(answer->proven);
}

// Sheets of 122 x 244: by hand, four backs of 60 x 120 to a sheet with a saw cut of 4 mm (2 across: 1204 <= 1220; 2
// along: 2404 <= 2440), so nine take three; the bound by area is 3 too (9 * 0.72 / 2.9768 = 2.18).
TEST(Order, SheetsFromEdgeToEdge) {
  Order order;
  order.stuff = Stuff::sheet;
  order.cloth.roll_width = 122 * kCm;
  order.cloth.gap = 4 * kMm;
  order.cloth.guillotine = true;
  order.sheet_length = 244 * kCm;
  order.turn = Turn::quarter;
  order.parts = {part("back", 60 * kCm, 120 * kCm, 9)};
  auto answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value());
  EXPECT_EQ(answer->sheets, 3);
  EXPECT_TRUE(answer->proven);
  order.parts[0].quantity = 8;
  answer = solve(order, System::metric, some());
  EXPECT_EQ(answer->sheets, 2);
  order.remnants = {left("half", 122 * kCm, 121 * kCm)};
  answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value());
  EXPECT_EQ(answer->sheets, 2);
  EXPECT_EQ(on(*answer, "half")->parts.size(), 2u);
  order.parts[0].quantity = 6;
  EXPECT_EQ(solve(order, System::metric, some())->sheets, 1);
  order.parts[0].height = 250 * kCm;
  const auto refused = solve(order, System::metric, some());
  ASSERT_FALSE(refused.has_value());
  EXPECT_THAT(refused.error()[0].what, HasSubstr("60 mm more than a sheet"));
}

TEST(Order, OutlinesLieInEachOther) {
  Order order;
  order.stuff = Stuff::sheet;
  order.outlines = true;
  order.turn = Turn::half;
  Wanted fan = part("fan", 40 * kCm, 20 * kCm, 2);
  fan.outline = shape::half_circle({200, 0}, 200, true);
  order.parts = {fan};
  order.cloth.roll_width = 45 * kCm;
  auto answer = solve(order, System::metric, some(6));
  ASSERT_TRUE(answer.has_value());
  EXPECT_TRUE(answer->by_outline);
  // Back to back they make a circle: 40 cm; as rectangles the same.
  EXPECT_LE(answer->length, 400'050);
  // A remnant with a knot: the part lies beside it.
  Leftover knot;
  knot.id = "leaf";
  knot.outline = shape::subtract(shape::rectangle({0, 0}, 500, 450), shape::circle({80, 100}, 40));
  order.remnants = {knot};
  order.parts[0].quantity = 1;
  answer = solve(order, System::metric, some(6));
  ASSERT_TRUE(answer.has_value());
  ASSERT_EQ(answer->grounds.size(), 1u);
  EXPECT_EQ(answer->grounds[0].id, "leaf");
  EXPECT_EQ(answer->length, 0);
  EXPECT_LT(shape::area_mm2(shape::intersect(answer->grounds[0].parts[0].region, shape::circle({80, 100}, 40))), 0.5);
}

TEST(Order, AllowancesGrowOutlines) {
  Order order;
  order.outlines = true;
  order.cloth.roll_width = 140 * kCm;
  order.cloth.wrap = 25 * kMm;
  Wanted disc = part("disc", 30 * kCm, 30 * kCm);
  disc.outline = shape::circle({150, 150}, 150);
  order.parts = {disc};
  const auto answer = solve(order, System::metric, some(10));
  ASSERT_TRUE(answer.has_value());
  EXPECT_NEAR(static_cast<double>(answer->length), 350'000, 30);
  EXPECT_NEAR(shape::area_mm2(answer->grounds[0].parts[0].region), 175.0 * 175 * 3.14159265, 50);
}

TEST(Order, OutlinesOnSheets) {
  Order order;
  order.stuff = Stuff::sheet;
  order.outlines = true;
  order.turn = Turn::quarter;
  order.cloth.roll_width = 50 * kCm;
  order.sheet_length = 50 * kCm;
  Wanted disc = part("disc", 24 * kCm, 24 * kCm, 5);
  disc.outline = shape::circle({120, 120}, 120);
  order.parts = {disc};
  const auto answer = solve(order, System::metric, some(3));
  ASSERT_TRUE(answer.has_value()) << answer.error()[0].what;
  EXPECT_EQ(answer->sheets, 2);
  EXPECT_EQ(answer->lower_bound, 1);
  EXPECT_THAT(answer->missing, IsEmpty());
}

// By hand: 200 cm and 2 x 5 cm wrap and 2 x 1 cm seam are 212 cut; the roll gives 140 in the middle, of which the two
// seams leave 138; the sides take (212 - 138) / 2 + 1 = 38.
TEST(Order, WiderThanTheRollIsJoined) {
  Order order;
  order.cloth.roll_width = 140 * kCm;
  order.cloth.wrap = 5 * kCm;
  order.cloth.seam = 1 * kCm;
  order.parts = {part("sofa back", 200 * kCm, 60 * kCm)};
  const auto refused = problems_of(order, System::metric);
  ASSERT_FALSE(refused.empty());
  EXPECT_THAT(refused[0].what, HasSubstr("720 mm more than the roll gives"));
  EXPECT_THAT(refused[0].remedy, HasSubstr("seam"));
  order.join = true;
  const auto answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value()) << answer.error()[0].what;
  ASSERT_EQ(answer->parts.size(), 2u);
  EXPECT_EQ(answer->parts[0].width, 140 * kCm);
  EXPECT_EQ(answer->parts[1].width, 38 * kCm);
  EXPECT_EQ(answer->parts[1].quantity, 2);
  EXPECT_EQ(answer->length, 2 * 72 * kCm);  // the middle, and the two sides beside each other
  EXPECT_THAT(answer->notes, Contains(HasSubstr("joined from 3 widths")));
}

// The pattern of a joined panel, read off the layout: at every seam both widths show the same place of the repeat, a
// motif is in the panel's middle, and the widths cover the panel with a seam allowance over.
void expect_unbroken(const Order& order, const Answer& answer, Length cut) {
  const Cloth& cloth = order.cloth;
  const auto mod = [&](Length at) { return ((at % cloth.repeat_x) + cloth.repeat_x) % cloth.repeat_x; };
  std::vector<std::pair<Length, Length>> covered;
  std::set<Length> along;
  for (const UsedGround& ground : answer.grounds)
    for (const Laid& laid : ground.parts) {
      const Wanted& width = answer.parts[static_cast<std::size_t>(laid.part)];
      ASSERT_TRUE(width.starts.has_value());
      const Length from = *width.starts + (cloth.centred ? cut / 2 : 0);
      covered.emplace_back(from, from + laid.width);
      // What is printed at the panel's middle if this width ran as far.
      const Length first = cloth.centred ? *cloth.first_x : cloth.selvedge;
      EXPECT_EQ(mod(laid.x + (cloth.centred ? cut / 2 : 0) - from - first), 0) << width.id;
      if (cloth.repeat_y > 0) along.insert(laid.y % cloth.repeat_y);
      EXPECT_GE(laid.x, cloth.selvedge);
      EXPECT_LE(laid.x + laid.width, cloth.roll_width - cloth.selvedge);
    }
  EXPECT_LE(along.size(), 1U);  // and along the roll too
  std::sort(covered.begin(), covered.end());
  ASSERT_GE(covered.size(), 3U);
  EXPECT_EQ(covered.front().first, 0);
  EXPECT_EQ(covered.back().second, cut);
  for (std::size_t k = 1; k < covered.size(); ++k)
    EXPECT_EQ(covered[k - 1].second - covered[k].first, 2 * cloth.seam) << "seam " << k;
}

// By hand: motifs at 30, 94, … 670 … of 1380 mm that the roll gives; the widest about one of them reaches 670 + 64 =
// 734 to the left and 1380 - 734 = 646 to the right, about 670 it reaches 670 and 710: 1340 mm.
TEST(Order, WidthsAreJoinedOnThePattern) {
  Order order;
  order.cloth.roll_width = 140 * kCm;
  order.cloth.selvedge = 1 * kCm;
  order.cloth.wrap = 5 * kCm;
  order.cloth.seam = 1 * kCm;
  order.cloth.repeat_x = order.cloth.repeat_y = 64'000;
  order.cloth.first_x = 40'000;
  order.cloth.first_y = 45'000;
  order.parts = {part("sofa back", 200 * kCm, 60 * kCm)};
  EXPECT_FALSE(problems_of(order, System::metric).empty());
  order.join = true;
  const auto answer = solve(order, System::metric, some());
  ASSERT_TRUE(answer.has_value()) << answer.error()[0].what;
  ASSERT_EQ(answer->parts.size(), 3U);
  EXPECT_EQ(answer->parts[0].width, 1'340'000);
  EXPECT_THAT(answer->notes, Contains(HasSubstr("where the pattern meets its neighbour's")));
  expect_unbroken(order, *answer, 212 * kCm);

  order.cloth.first_x.reset();
  const auto unknown = problems_of(order, System::metric);
  ASSERT_FALSE(unknown.empty());
  EXPECT_THAT(unknown[0].remedy, HasSubstr("measure from the left edge of the roll"));
}

TEST(Order, AnyJoinedPatternRunsOn) {
  std::mt19937 random(11);
  const auto up_to = [&](Length most) { return static_cast<Length>(random() % static_cast<unsigned>(most)) + 1; };
  int joined = 0;
  for (int round = 0; round < 300; ++round) {
    Order order;
    order.join = true;
    order.cloth.roll_width = 60 * kCm + up_to(100 * kCm);
    order.cloth.selvedge = up_to(20'000);
    order.cloth.wrap = up_to(60'000);
    order.cloth.seam = round % 3 == 0 ? 0 : up_to(20'000);
    order.cloth.repeat_x = up_to(70 * kCm);
    if (round % 2 == 0) order.cloth.repeat_y = up_to(70 * kCm);
    order.cloth.centred = round % 5 != 0;
    order.cloth.first_x = up_to(order.cloth.repeat_x);
    order.cloth.first_y = up_to(50 * kCm);
    order.parts = {part("panel", up_to(500 * kCm), up_to(100 * kCm))};
    const auto answer = solve(order, System::metric, some());
    if (!answer) {
      // Refused only where the repeat leaves no room for a width, and said so.
      EXPECT_THAT(answer.error()[0].remedy, HasSubstr("too wide to join")) << round;
      continue;
    }
    if (answer->parts.size() == 1) continue;
    ++joined;
    Length cut = order.parts[0].width + 2 * (order.cloth.wrap + order.cloth.seam);
    expect_unbroken(order, *answer, cut + cut % 2);
  }
  EXPECT_GT(joined, 150);
}

TEST(Order, BadInputIsExplained) {
  Order order;
  EXPECT_THAT(problems_of(order, System::metric)[0].what, HasSubstr("nothing to cut"));
  order.parts = {part("a", 10 * kCm, 10 * kCm)};
  EXPECT_THAT(problems_of(order, System::metric)[0].what, HasSubstr("nothing to cut from"));
  Leftover odd;
  odd.id = "scrap";
  odd.outline = shape::circle({0, 0}, 100);
  order.remnants = {odd};
  order.cloth.repeat_y = 64 * kCm;
  EXPECT_THAT(problems_of(order, System::metric)[0].remedy, HasSubstr("largest sound rectangle"));
  order.cloth.repeat_y = 0;
  order.cloth.guillotine = true;
  EXPECT_THAT(problems_of(order, System::metric)[0].what, HasSubstr("edge to edge"));
}

// Whatever comes: every answer shown has passed the checker (solve would refuse), gets no worse, and is never longer
// than the roll alone; the bound is never above what was found.
TEST(Order, RandomOrdersHold) {
  std::mt19937_64 random(11);
  const auto between = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  for (int k = 0; k < 60; ++k) {
    Order order;
    order.cloth.roll_width = between(120, 160) * kCm;
    order.cloth.gap = between(0, 5) * kMm;
    order.cloth.guillotine = k % 4 == 0;
    order.turn = k % 3 == 0 ? Turn::quarter : Turn::none;
    if (k % 5 == 1 && order.turn == Turn::none) order.cloth.repeat_y = between(50, 300) * kMm;
    if (k % 6 == 2) order.sheet_length = 200 * kCm;
    for (int i = 0; i < between(2, 8); ++i)
      order.parts.push_back(
          part("p" + std::to_string(i), between(50, 900) * kMm, between(50, 900) * kMm, between(1, 3)));
    Order bare = order;
    for (int i = 0; i < between(1, 4); ++i)
      order.remnants.push_back(left("r" + std::to_string(i), between(200, 1000) * kMm, between(200, 1200) * kMm));
    Length last = -1;
    const auto answer = solve(order, System::metric, some(), [&](const Answer& better) {
      const Length now = order.sheet_length > 0 ? better.sheets : better.length;
      EXPECT_TRUE(last < 0 || now <= last);
      last = now;
    });
    ASSERT_TRUE(answer.has_value()) << k << " " << answer.error()[0].what;
    const Length value = order.sheet_length > 0 ? answer->sheets : answer->length;
    EXPECT_LE(value, last);
    EXPECT_LE(answer->lower_bound, value);
    EXPECT_THAT(answer->missing, IsEmpty());
    const auto alone = solve(bare, System::metric, some());
    ASSERT_TRUE(alone.has_value());
    EXPECT_LE(value, order.sheet_length > 0 ? alone->sheets : alone->length) << k;
    if (alone->proven) {
      EXPECT_LE(answer->lower_bound, order.sheet_length > 0 ? alone->sheets : alone->length);
    }
  }
}

// What is moved by hand is seen by the checker.
TEST(Sheets, TheCheckerSees) {
  Grounds grounds;
  Part one;
  one.id = "a";
  one.width = 50;
  one.height = 50;
  one.quantity = 3;
  grounds.remnants = {{{60, 0, false}, 60, {one}}};
  grounds.fresh = {{100, 0, false}, 0, {one}};
  const auto right = lay_on_sheets(grounds, some());
  ASSERT_TRUE(right.has_value());
  EXPECT_THAT(sheet_faults(grounds, *right), IsEmpty());
  EXPECT_EQ(right->length, 50);
  Sheeted wrong = *right;
  wrong.used[0].layout.places[0].y = 11;
  wrong.used[0].layout.height = 61;
  EXPECT_THAT(sheet_faults(grounds, wrong), Contains(HasSubstr("off the end")));
  wrong = *right;
  wrong.used[1].layout.places[0].copy = wrong.used[1].layout.places[1].copy;
  EXPECT_THAT(sheet_faults(grounds, wrong), Contains(HasSubstr("0 times")));
  wrong = *right;
  wrong.length = 49;
  EXPECT_THAT(sheet_faults(grounds, wrong), Contains(HasSubstr("length")));
  wrong = *right;
  wrong.used[1].layout.places[1].x = wrong.used[1].layout.places[0].x + 49;
  EXPECT_THAT(sheet_faults(grounds, wrong), Contains(HasSubstr("overlap")));
  wrong = *right;
  wrong.used.pop_back();
  EXPECT_THAT(sheet_faults(grounds, wrong), Contains(HasSubstr("0 times")));
}

}  // namespace
}  // namespace tackcloth::cutting
