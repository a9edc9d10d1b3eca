#include "cutting/strip.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <random>
#include <sstream>

#include "cutting/check.h"
#include "cutting/parts_csv.h"

namespace tackcloth::cutting {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

struct Instance {
  std::string name;
  Length width = 0, known = 0;
  std::vector<Part> parts;
};

std::vector<Instance> hopper_turton() {
  std::vector<Instance> all;
  std::ifstream file(std::string(TACKCLOTH_SOURCE_DIR) + "/bench/hopper_turton.txt");
  std::string line, size;
  while (std::getline(file, line)) {
    if (line.empty() || line[0] == '#') continue;
    std::istringstream words(line);
    Instance i;
    words >> i.name >> i.width >> i.known;
    while (words >> size) {
      Part part;
      char x = 0;
      std::istringstream(size) >> part.width >> x >> part.height;
      part.id = std::to_string(i.parts.size() + 1);
      i.parts.push_back(part);
    }
    all.push_back(i);
  }
  return all;
}

Part part(std::string id, Length width, Length height, int quantity = 1) {
  Part p;
  p.id = std::move(id);
  p.width = width;
  p.height = height;
  p.quantity = quantity;
  return p;
}

TEST(HopperTurton, PartsFillTheirRectangle) {
  const auto all = hopper_turton();
  ASSERT_EQ(all.size(), 21u);
  const std::vector<std::pair<Length, Length>> sizes = {{20, 20}, {40, 15},  {60, 30},  {60, 60},
                                                        {60, 90}, {80, 120}, {160, 240}};
  for (std::size_t i = 0; i < all.size(); ++i) {
    EXPECT_EQ(all[i].width, sizes[i / 3].first);
    EXPECT_EQ(all[i].known, sizes[i / 3].second);
    Length area = 0;
    for (const Part& p : all[i].parts) area += p.width * p.height;
    EXPECT_EQ(area, all[i].width * all[i].known) << all[i].name;
  }
}

// Repeatable: a number of layouts, no clock. The ten seconds of the contract are measured by cut_bench.
TEST(HopperTurton, StaysWithinTwoPercentAndIsRight) {
  double gaps = 0;
  const auto all = hopper_turton();
  for (const Instance& i : all) {
    Options options;
    options.max_layouts = 3000;
    options.proof_nodes = 20000;
    const auto outcome = lay_out(i.parts, {i.width}, options);
    ASSERT_TRUE(outcome.has_value());
    EXPECT_THAT(faults(i.parts, {i.width}, outcome->layout), IsEmpty()) << i.name;
    EXPECT_GE(outcome->layout.height, i.known);
    EXPECT_EQ(outcome->lower_bound, i.known);
    EXPECT_EQ(outcome->proven, outcome->layout.height == i.known);
    gaps += 100.0 * static_cast<double>(outcome->layout.height - i.known) / static_cast<double>(i.known);
  }
  EXPECT_LE(gaps / static_cast<double>(all.size()), 2.0);
}

TEST(Strip, SameSeedSameLayoutAndCallbacksOnlyGetBetter) {
  const Instance i = hopper_turton()[9];
  std::vector<Length> heights;
  Options options;
  options.max_layouts = 1500;
  options.on_better = [&](const Outcome& o) {
    EXPECT_THAT(faults(i.parts, {i.width}, o.layout), IsEmpty());
    heights.push_back(o.layout.height);
  };
  const auto once = lay_out(i.parts, {i.width}, options);
  ASSERT_FALSE(heights.empty());
  EXPECT_EQ(heights.back(), once->layout.height);
  for (std::size_t k = 1; k < heights.size(); ++k) EXPECT_LT(heights[k], heights[k - 1]);
  options.on_better = nullptr;
  const auto again = lay_out(i.parts, {i.width}, options);
  EXPECT_EQ(places_csv(i.parts, once->layout), places_csv(i.parts, again->layout));
}

TEST(Strip, CancelStillGivesAWholeLayout) {
  const Instance i = hopper_turton()[20];
  const std::atomic<bool> cancel{true};
  Options options;
  options.cancel = &cancel;
  options.max_layouts = 1'000'000'000;
  const auto outcome = lay_out(i.parts, {i.width}, options);
  ASSERT_TRUE(outcome.has_value());
  EXPECT_THAT(faults(i.parts, {i.width}, outcome->layout), IsEmpty());
  EXPECT_LT(outcome->layouts, 10);
}

// Random parts with gap, steps, turns, edge-to-edge cuts: whatever is asked for, the checker finds nothing wrong.
TEST(Strip, RandomLayoutsAreRight) {
  std::mt19937_64 random(3);
  const auto between = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  for (int k = 0; k < 300; ++k) {
    const Strip strip{between(900'000, 1'600'000), k % 3 == 0 ? between(0, 4000) : 0, k % 4 == 0};
    std::vector<Part> parts;
    const int kinds = between(1, 12);
    for (int i = 0; i < kinds; ++i) {
      Part p = part("p" + std::to_string(i), between(20'000, 800'000), between(20'000, 900'000), between(1, 4));
      if (k % 5 == 1) {
        p.step_x = between(1, 90'000);
        p.phase_x = between(-500'000, 500'000);
        p.step_y = between(1, 600'000);
        p.phase_y = between(-500'000, 500'000);
      } else {
        p.may_turn = between(0, 1) == 1;
      }
      parts.push_back(p);
    }
    Options options;
    options.max_layouts = 200;
    options.proof_nodes = 500;
    options.seed = static_cast<std::uint64_t>(k);
    const auto outcome = lay_out(parts, strip, options);
    ASSERT_TRUE(outcome.has_value()) << outcome.error().front().what;
    const auto wrong = faults(parts, strip, outcome->layout);
    EXPECT_THAT(wrong, IsEmpty()) << k;
    EXPECT_LE(outcome->lower_bound, outcome->layout.height) << k;
  }
}

TEST(Strip, SaysByHowMuchAPartIsTooWide) {
  const auto refused = lay_out({part("sofa back", 1600, 500), part("arm", 300, 300)}, {1400});
  ASSERT_FALSE(refused.has_value());
  ASSERT_EQ(refused.error().size(), 1u);
  EXPECT_THAT(refused.error()[0].what, HasSubstr("'sofa back' is 200 wider"));
  EXPECT_THAT(refused.error()[0].remedy, HasSubstr("seam"));
  EXPECT_THAT(refused.error()[0].remedy, HasSubstr("2 widths"));
}

TEST(Strip, BadInputIsExplained) {
  Part stepped = part("a", 10, 10);
  stepped.step_x = 5;
  stepped.may_turn = true;
  Part no_step = part("b", 10, 10);
  no_step.step_y = 0;
  for (const auto& [parts, strip] : std::vector<std::pair<std::vector<Part>, Strip>>{
           {{}, {100}},
           {{part("a", 0, 10)}, {100}},
           {{part("a", 10, -1)}, {100}},
           {{part("a", 10, 10, 0)}, {100}},
           {{part("a", 10, 10)}, {0}},
           {{part("a", 10, 10)}, {100, -1}},
           {{stepped}, {100}},
           {{no_step}, {100}},
           {{part("a", 10, 10, 5000)}, {100}},
           {{part("a", 900'000'000, 900'000'000, 100)}, {1'000'000'000}}}) {
    const auto refused = lay_out(parts, strip);
    ASSERT_FALSE(refused.has_value());
    for (const Problem& p : refused.error()) {
      EXPECT_FALSE(p.what.empty());
      EXPECT_FALSE(p.expected.empty());
      EXPECT_FALSE(p.remedy.empty());
    }
  }
}

TEST(Bound, DualFeasibleFunctionsSeeWhatAreaDoesNot) {
  // Three parts just over half the width cannot lie side by side.
  EXPECT_EQ(lower_bound({part("a", 51, 10, 3)}, {100}), 30);
  // Five just over a third: two beside each other at most, u(2) gives 2 1/2 rows.
  EXPECT_EQ(lower_bound({part("a", 34, 10, 5)}, {100}), 25);
  EXPECT_EQ(lower_bound({part("a", 50, 10, 3)}, {100}), 15);
}

TEST(Check, FindsPlantedFaults) {
  const std::vector<Part> parts = {part("a", 40, 20, 2), part("b", 30, 10)};
  const Strip strip{100, 2};
  const Layout right{{{0, 0, 0, 0, 40, 20}, {0, 1, 42, 0, 40, 20}, {1, 0, 0, 22, 30, 10}}, 32};
  EXPECT_THAT(faults(parts, strip, right), IsEmpty());
  Layout wrong = right;
  wrong.places[1].x = 41;  // one unit too close
  EXPECT_THAT(faults(parts, strip, wrong), ::testing::ElementsAre(HasSubstr("too close")));
  wrong = right;
  wrong.places[1].x = 61;
  EXPECT_THAT(faults(parts, strip, wrong), ::testing::ElementsAre(HasSubstr("off the strip")));
  wrong = right;
  wrong.places.pop_back();
  wrong.height = 20;
  EXPECT_THAT(faults(parts, strip, wrong), ::testing::ElementsAre(HasSubstr("0 times")));
  wrong = right;
  wrong.places[2] = {1, 0, 0, 22, 10, 30, true};
  wrong.height = 52;
  EXPECT_THAT(faults(parts, strip, wrong), ::testing::ElementsAre(HasSubstr("may not be")));
  wrong = right;
  wrong.places[2].width = 29;
  EXPECT_THAT(faults(parts, strip, wrong), ::testing::ElementsAre(HasSubstr("another size")));
  wrong = right;
  wrong.height = 31;
  EXPECT_THAT(faults(parts, strip, wrong), ::testing::ElementsAre(HasSubstr("height")));
  // Four around a middle: no cut goes from edge to edge.
  const std::vector<Part> four = {part("s", 20, 10), part("t", 10, 20), part("u", 20, 10), part("v", 10, 20)};
  const Layout pinwheel{{{0, 0, 0, 0, 20, 10}, {1, 0, 20, 0, 10, 20}, {2, 0, 10, 20, 20, 10}, {3, 0, 0, 10, 10, 20}},
                        30};
  EXPECT_THAT(faults(four, {30}, pinwheel), IsEmpty());
  EXPECT_THAT(faults(four, {30, 0, true}, pinwheel), ::testing::ElementsAre(HasSubstr("edge to edge")));
}

TEST(PartsCsv, ReadsAndRefusesByLine) {
  const auto parts = parts_from_csv(
      "\xEF\xBB\xBF"
      "id,width,height,quantity\r\n\"seat, front\",500,450,2\r\n\r\narm,120,300,\r\n",
      "parts.csv", true, whole_number);
  ASSERT_TRUE(parts.has_value());
  ASSERT_EQ(parts->size(), 2u);
  EXPECT_EQ((*parts)[0].id, "seat, front");
  EXPECT_EQ((*parts)[0].quantity, 2);
  EXPECT_TRUE((*parts)[1].may_turn);
  const auto metric = parts_from_csv("id,width,height,turn\nseat,50 cm,\"17 3/4 in\",no\n", "p", true, micrometres);
  ASSERT_TRUE(metric.has_value());
  EXPECT_EQ((*metric)[0].width, 500'000);
  EXPECT_EQ((*metric)[0].height, 450'850);
  EXPECT_FALSE((*metric)[0].may_turn);
  const std::vector<std::pair<std::string, int>> bad = {{"", 0},
                                                        {"id,width\n", 1},
                                                        {"id,width,height\n", 1},
                                                        {"id,width,height\na,0,5\n", 2},
                                                        {"id,width,height\na,5,5\nb,-3,5\n", 3},
                                                        {"id,width,height\na,5,5.5\n", 2},
                                                        {"id,width,height\na,5,5\na,6,6\n", 3},
                                                        {"id,width,height,quantity\na,5,5,many\n", 2},
                                                        {"id,width,height\n\"a,5,5\n", 2},
                                                        {"id,width,height\n,5,5\n", 2},
                                                        {"id,width,height\na,99999999999999999999,5\n", 2},
                                                        {"id,width,height,turn\na,5,5,maybe\n", 2}};
  for (const auto& [text, line] : bad) {
    const auto refused = parts_from_csv(text, "parts.csv", false, whole_number);
    ASSERT_FALSE(refused.has_value()) << text;
    EXPECT_EQ(refused.error().front().line, line) << text;
    EXPECT_EQ(refused.error().front().file, "parts.csv");
    EXPECT_FALSE(refused.error().front().expected.empty());
    EXPECT_FALSE(refused.error().front().remedy.empty());
  }
}

}  // namespace
}  // namespace tackcloth::cutting
