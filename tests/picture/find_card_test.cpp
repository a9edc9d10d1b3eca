// A grey card is found where it lies, and nothing else is taken for one.
#include <gtest/gtest.h>

#include <numbers>

#include "clutter.h"
#include "picture/find.h"

namespace tackcloth::picture {
namespace {

constexpr double kPi = std::numbers::pi;

Plate card(std::array<double, 3> color = {0.18, 0.18, 0.18}) { return {5, 4, {}, 0, 0, 0, 0, color}; }

struct Shot {
  Image image;
  Corners corners;
};

// A card of 70 to 190 pixels' width somewhere in a room.
Shot shoot(unsigned seed, const Plate& plate) {
  Dice dice(seed);
  Shot shot;
  for (int n = 0; n < 1000; ++n) {
    const Pose pose{dice.between(90, 550),    dice.between(80, 400),   dice.between(14, 38),
                    dice.between(0, 2 * kPi), dice.between(-0.5, 0.5), dice.between(-0.5, 0.5)};
    shot.corners = corners_of(plate.width, plate.height, pose);
    if (std::all_of(shot.corners.begin(), shot.corners.end(),
                    [](const auto& p) { return p.x > 12 && p.y > 12 && p.x < 628 && p.y < 468; }))
      break;
  }
  const Camera camera = any_camera(dice, 1, 2.5);
  const Image& back = clutter()[static_cast<std::size_t>(dice.upto(static_cast<int>(clutter().size())))];
  shot.image = photograph(back, plate, shot.corners, camera, dice);
  return shot;
}

// The corners begin at any of the card's.
double off_by_any(const Corners& found, const Corners& is) {
  double least = 1e9;
  for (std::size_t turn = 0; turn < 4; ++turn) {
    Corners turned;
    for (std::size_t n = 0; n < 4; ++n) turned[n] = found[(n + turn) % 4];
    least = std::min(least, off_by(turned, is, 5, 4));
  }
  return least;
}

TEST(FindCard, AnyPoseAndLight) {
  const int count = shots(12);
  int found_ones = 0, wrong = 0;
  std::vector<double> confidence;
  for (int n = 0; n < count; ++n) {
    const Shot shot = shoot(first(100) + static_cast<unsigned>(n), card());
    const auto found = find_grey_card(shot.image);
    if (!found) continue;
    const double off = off_by_any(found->corners, shot.corners);
    if (off > 0.4) {
      ++wrong;
      ADD_FAILURE() << "seed " << first(100) + static_cast<unsigned>(n) << " off by " << off << ", confidence "
                    << found->confidence;
      continue;
    }
    ++found_ones;
    confidence.push_back(found->confidence);
  }
  std::sort(confidence.begin(), confidence.end());
  std::printf("  grey card: %d of %d found, %d wrong", found_ones, count, wrong);
  if (!confidence.empty())
    std::printf("; confidence %.2f to %.2f, median %.2f", confidence.front(), confidence.back(),
                confidence[confidence.size() / 2]);
  std::printf("\n");
  // Sure enough to be used: about half of these; the others are to be tapped. Below 0.6 some were wrong (docs/picture.md).
  EXPECT_GE(found_ones, 0.35 * count);
}

void expect_no_card(const Image& image, const std::string& what) {
  const auto found = find_grey_card(image);
  if (found) {
    ADD_FAILURE() << what << ": at " << found->corners[0].x << "," << found->corners[0].y << " to "
                  << found->corners[2].x << "," << found->corners[2].y << ", confidence " << found->confidence;
  } else {
    EXPECT_NE(found.error().remedy.find("tap"), std::string::npos);
  }
}

TEST(FindCard, OnlyInPicturesWithOne) {
  for (const auto& row : csv_rows("images.csv")) expect_no_card(picture_of(row[0]), row[0]);
  for (std::size_t n = 0; n < clutter().size(); ++n) expect_no_card(clutter()[n], "clutter " + std::to_string(n));
  const auto example = load(std::filesystem::path(TACKCLOTH_SOURCE_DIR) / "examples/photos/cabinet-front.jpg");
  ASSERT_TRUE(example);
  // A card leans there beside the cabinet (examples/photos/cabinet.pov), and only it is found.
  const auto leaning = find_grey_card(example->image);
  ASSERT_TRUE(leaning) << to_text(leaning.error());
  EXPECT_TRUE(leaning->others.empty());
  EXPECT_NEAR((leaning->corners[0].x + leaning->corners[2].x) / 2, 1358, 8);
  EXPECT_NEAR((leaning->corners[0].y + leaning->corners[2].y) / 2, 690, 8);
  expect_no_card(Image(640, 480), "black");
  expect_no_card(Image(3, 3), "tiny");
}

TEST(FindCard, FalseFriends) {
  for (unsigned seed = first(1); seed < first(1) + static_cast<unsigned>(shots(4)); ++seed) {
    const std::string n = " " + std::to_string(seed);
    const auto grid = [](int columns, int rows, double gap) {
      Plate p{columns + 0.4, rows + 0.4, {}, columns, rows, gap, 0.2, {0.02, 0.02, 0.02}};
      p.cells.resize(static_cast<std::size_t>(columns * rows), {0.2, 0.2, 0.2});
      return p;
    };
    const auto laid = [&](const Plate& plate) {
      Dice dice(seed);
      const Pose pose{320,
                      240,
                      std::min(400 / plate.width, 340 / plate.height),
                      0,
                      dice.between(-0.3, 0.3),
                      dice.between(-0.3, 0.3)};
      return photograph(clutter()[seed % clutter().size()], plate, corners_of(plate.width, plate.height, pose),
                        any_camera(dice, 0.6, 2), dice);
    };
    expect_no_card(laid(grid(1, 4, 0.06)), "a chest of grey drawers" + n);
    expect_no_card(laid(grid(2, 1, 0.04)), "two grey doors" + n);
    expect_no_card(laid(grid(8, 6, 0.08)), "grey tiles" + n);
    expect_no_card(shoot(300 + seed, card({0.5, 0.1, 0.08})).image, "a red book" + n);
    expect_no_card(shoot(400 + seed, card({0.08, 0.2, 0.35})).image, "a blue book" + n);
    Plate print{5, 4, {}, 5, 4, 0, 0, {0.2, 0.2, 0.2}};
    Dice dice(seed);
    for (int i = 0; i < 20; ++i) {
      const double v = dice.between(0.05, 0.5);
      print.cells.push_back({v, v, v});
    }
    expect_no_card(shoot(500 + seed, print).image, "a grey print" + n);
  }
}

TEST(FindCard, BothAreShownOfTwo) {
  Dice dice(5);
  const Corners first = corners_of(5, 4, {150, 330, 24, 0.2, 0.1, 0}),
                second = corners_of(5, 4, {470, 380, 26, 0, 0, 0.2});
  const Image one = photograph(clutter()[1], card(), first, {}, dice);
  const Image both = photograph(one, card({0.1, 0.09, 0.083}), second, {}, dice);
  const auto found = find_grey_card(both);
  ASSERT_TRUE(found) << to_text(found.error());
  EXPECT_LT(off_by_any(found->corners, first), 0.3);
  ASSERT_EQ(found->others.size(), 1u);
  EXPECT_LT(found->others[0].confidence, found->confidence);
}

}  // namespace
}  // namespace tackcloth::picture
