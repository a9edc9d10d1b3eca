#include "cutting/cloth.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "cutting/check.h"

namespace tackcloth::cutting {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using units::System;

constexpr Length kMm = 1000, kCm = 10'000;

Cloth roll(Length width) {
  Cloth cloth;
  cloth.roll_width = width;
  return cloth;
}

TEST(Yardage, IsRoundedUpToWhatShopsSell) {
  EXPECT_EQ(tenths_of_metre(1), 1);
  EXPECT_EQ(tenths_of_metre(100'000), 1);
  EXPECT_EQ(tenths_of_metre(100'001), 2);
  EXPECT_EQ(eighths_of_yard(914'400), 8);
  EXPECT_EQ(eighths_of_yard(914'401), 9);
  EXPECT_EQ(metres_text(23), "2.3 m");
  EXPECT_EQ(yards_text(21), "2 5/8 yd");
  EXPECT_EQ(yards_text(3), "3/8 yd");
  EXPECT_EQ(yards_text(16), "2 yd");
}

// By hand: 60 x 50 cm with 3 cm of wrap and 1 cm of seam on each side is cut 68 x 58. Two go side by side on 140 cm.
TEST(CutCloth, AllowancesByHand) {
  Cloth cloth = roll(140 * kCm);
  cloth.wrap = 3 * kCm;
  cloth.seam = 1 * kCm;
  const auto cut = cut_cloth({{"seat", 60 * kCm, 50 * kCm, 4}}, cloth, System::metric);
  ASSERT_TRUE(cut.has_value());
  EXPECT_EQ(cut->parts[0].width, 68 * kCm);
  EXPECT_EQ(cut->parts[0].height, 58 * kCm);
  EXPECT_EQ(cut->outcome.layout.height, 116 * kCm);
  EXPECT_TRUE(cut->outcome.proven);
  EXPECT_EQ(cut->length, 116 * kCm);
  EXPECT_EQ(cut->tenths_m, 12);
  EXPECT_EQ(cut->eighths_yd, 11);  // 1.16 m = 1.2686 yd
  for (const Place& p : cut->outcome.layout.places) EXPECT_FALSE(p.turned);
  EXPECT_THAT(cut->notes, Contains(HasSubstr("Nap and grain")));
}

// Repeat of 64 cm along, first motif 10 cm from the cut end, panel cut 50 cm high: its middle is at 10, 74 (49 to 99),
// 138 ... and the first that leaves it on the cloth is 74.
TEST(CutCloth, MotifInTheMiddleByHand) {
  Cloth cloth = roll(100 * kCm);
  cloth.repeat_y = 64 * kCm;
  cloth.first_y = 10 * kCm;
  const auto cut = cut_cloth({{"back", 80 * kCm, 50 * kCm, 2}}, cloth, System::metric);
  ASSERT_TRUE(cut.has_value());
  EXPECT_EQ(cut->outcome.layout.places[0].y, 49 * kCm);
  EXPECT_EQ(cut->outcome.layout.places[1].y, (49 + 64) * kCm);
  EXPECT_EQ(cut->length, (49 + 64 + 50) * kCm);
  EXPECT_EQ(cut->spare, 0);
  cloth.first_y.reset();
  const auto unknown = cut_cloth({{"back", 80 * kCm, 50 * kCm, 2}}, cloth, System::metric);
  ASSERT_TRUE(unknown.has_value());
  EXPECT_EQ(unknown->outcome.layout.height, (64 + 50) * kCm);
  EXPECT_EQ(unknown->spare, 64 * kCm);
  EXPECT_EQ(unknown->length, (64 + 50 + 64) * kCm);
  EXPECT_THAT(unknown->notes, Contains(HasSubstr("one repeat more")));
}

// Whatever the sizes: the middle of every panel falls on the middle of a motif, across and along.
TEST(CutCloth, PanelsOfDifferentSizesMatch) {
  std::mt19937_64 random(5);
  const auto between = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  for (int k = 0; k < 100; ++k) {
    Cloth cloth = roll(between(120, 160) * kCm);
    cloth.selvedge = between(0, 2) * kCm;
    cloth.wrap = between(0, 40'000);
    cloth.repeat_x = between(20, 200) * kMm;
    cloth.repeat_y = between(20, 640) * kMm;
    cloth.first_x = between(0, 300'000);
    cloth.first_y = between(0, 900'000);
    cloth.gap = between(0, 10) * kMm;
    cloth.guillotine = k % 3 == 0;
    std::vector<Panel> panels;
    for (int i = 0; i < between(1, 6); ++i)
      panels.push_back({"p" + std::to_string(i), between(50'000, 700'000), between(50'000, 900'000), between(1, 3)});
    Options options;
    options.max_layouts = 200;
    const auto cut = cut_cloth(panels, cloth, System::metric, options);
    ASSERT_TRUE(cut.has_value()) << cut.error().front().what;
    EXPECT_THAT(faults(cut->parts, cut->strip, cut->outcome.layout), IsEmpty());
    for (const Place& p : cut->outcome.layout.places) {
      const Length middle_x = cloth.selvedge + p.x + p.width / 2, middle_y = p.y + p.height / 2;
      EXPECT_EQ((middle_x - *cloth.first_x) % cloth.repeat_x, 0);
      EXPECT_EQ((middle_y - *cloth.first_y) % cloth.repeat_y, 0);
      EXPECT_GE(p.x, 0);
      EXPECT_LE(cloth.selvedge + p.x + p.width, cloth.roll_width - cloth.selvedge);
    }
  }
}

// Not measured: wherever the pattern begins, the whole layout can be shifted by less than a repeat so that every middle
// falls on a motif, and stays on the cloth that is bought.
TEST(CutCloth, RoomToShiftIsKept) {
  Cloth cloth = roll(140 * kCm);
  cloth.repeat_x = 32 * kCm;
  cloth.repeat_y = 45 * kCm;
  const auto cut = cut_cloth({{"seat", 52 * kCm, 50 * kCm, 3}, {"arm", 20 * kCm, 61 * kCm, 2}}, cloth, System::metric);
  ASSERT_TRUE(cut.has_value());
  for (Length begins = 0; begins < cloth.repeat_x; begins += 7 * kMm) {
    const Place& first = cut->outcome.layout.places[0];
    const Length off = (begins - (first.x + first.width / 2)) % cloth.repeat_x;
    const Length shift = off < 0 ? off + cloth.repeat_x : off;
    for (const Place& p : cut->outcome.layout.places) {
      EXPECT_EQ((p.x + shift + p.width / 2 - begins) % cloth.repeat_x, 0);
      EXPECT_LE(p.x + shift + p.width, cloth.roll_width);
    }
  }
  EXPECT_EQ(cut->length, cut->outcome.layout.height + cloth.repeat_y);
}

TEST(CutCloth, TooWideSaysByHowMuchAndOffersASeam) {
  Cloth cloth = roll(140 * kCm);
  cloth.wrap = 5 * kCm;
  cloth.seam = 1 * kCm;
  const auto refused = cut_cloth({{"sofa back", 200 * kCm, 60 * kCm}}, cloth, System::metric);
  ASSERT_FALSE(refused.has_value());
  EXPECT_THAT(refused.error()[0].what,
              HasSubstr("'sofa back' is cut 2120 mm wide, 720 mm more than the roll gives (1400 mm)"));
  EXPECT_THAT(refused.error()[0].remedy, HasSubstr("join 2 widths with a seam"));
  // 278 cm is less than two widths of 140 but not after the seam has taken 1 cm of each.
  cloth.wrap = 0;
  EXPECT_THAT(cut_cloth({{"b", 277 * kCm, 60 * kCm}}, cloth, System::metric).error()[0].remedy,
              HasSubstr("join 3 widths"));
  EXPECT_THAT(cut_cloth({{"b", 276 * kCm, 60 * kCm}}, cloth, System::metric).error()[0].remedy,
              HasSubstr("join 2 widths"));
}

TEST(CutCloth, RepeatLargerThanThePanelIsExplained) {
  Cloth cloth = roll(140 * kCm);
  cloth.repeat_y = 64 * kCm;
  cloth.first_y = 0;
  const auto cut = cut_cloth({{"stool", 40 * kCm, 30 * kCm}}, cloth, System::metric);
  ASSERT_TRUE(cut.has_value());
  EXPECT_THAT(cut->notes, Contains(HasSubstr("larger than panel 'stool' (300 mm)")));
  cloth.repeat_y = 30 * kCm;
  EXPECT_THAT(cut_cloth({{"stool", 40 * kCm, 30 * kCm}}, cloth, System::metric)->notes,
              Not(Contains(HasSubstr("larger"))));
}

TEST(CutCloth, BadInputIsExplained) {
  const std::vector<Panel> one = {{"a", 10 * kCm, 10 * kCm}};
  Cloth turned = roll(100 * kCm);
  turned.may_turn = true;
  turned.repeat_x = 10 * kCm;
  Cloth no_wrap = roll(100 * kCm);
  no_wrap.wrap = -1;
  Cloth selvedge = roll(100 * kCm);
  selvedge.selvedge = 50 * kCm;
  Cloth wide_repeat = roll(100 * kCm);
  wide_repeat.repeat_x = 95 * kCm;
  for (const auto& [panels, cloth] : std::vector<std::pair<std::vector<Panel>, Cloth>>{{{}, roll(100)},
                                                                                       {one, roll(0)},
                                                                                       {{{"a", 0, 5}}, roll(100)},
                                                                                       {{{"a", 5, 5, 0}}, roll(100)},
                                                                                       {one, turned},
                                                                                       {one, no_wrap},
                                                                                       {one, selvedge},
                                                                                       {one, wide_repeat}}) {
    const auto refused = cut_cloth(panels, cloth, System::metric);
    ASSERT_FALSE(refused.has_value());
    for (const Problem& p : refused.error()) {
      EXPECT_FALSE(p.what.empty());
      EXPECT_FALSE(p.expected.empty());
      EXPECT_FALSE(p.remedy.empty());
    }
  }
}

}  // namespace
}  // namespace tackcloth::cutting
