// The chart is found in pictures made here whose chart is known, and nowhere else.
#include <gtest/gtest.h>

#include <numbers>

#include "clutter.h"
#include "color/light.h"
#include "color/spectrum_csv.h"
#include "picture/chart.h"
#include "picture/find.h"

namespace tackcloth::picture {
namespace {

constexpr double kPi = std::numbers::pi;

struct Shot {
  Image image;
  Corners corners;  // of the 6 x 4 cells
  Camera camera;
  int covered = 0;
};

// Of the cells' outer corners, from those of the plate: the rim is cut off in the plate's own plane.
Corners without_rim(const Plate& plate, const Corners& outer) {
  const double w = plate.width, h = plate.height, r = plate.rim;
  const auto to =
      homography(Corners{shape::Point{0, 0}, shape::Point{w, 0}, shape::Point{w, h}, shape::Point{0, h}}, outer);
  return {to->map({r, r}), to->map({w - r, r}), to->map({w - r, h - r}), to->map({r, h - r})};
}

struct Hardship {
  double blur = 1.0, noise = 2.5;
  int covers = 0;
  double least_unit = 18, most_unit = 62;
  bool mirrored = false;
};

Shot shoot(unsigned seed, const std::vector<color::Lab>& colors, const Hardship& hard) {
  Dice dice(seed);
  const Image& back = clutter()[static_cast<std::size_t>(dice.upto(static_cast<int>(clutter().size())))];
  const Plate plate = chart_plate(colors, dice.between(0.06, 0.2), dice.between(0.1, 0.4));
  Shot shot;
  Corners outer;
  for (int n = 0;; ++n) {
    Pose pose;
    pose.unit = std::exp(dice.between(std::log(hard.least_unit), std::log(hard.most_unit)));
    pose.turn = dice.between(0, 2 * kPi);
    pose.yaw = dice.between(-0.6, 0.6);
    pose.pitch = dice.between(-0.6, 0.6);
    pose.x = dice.between(120, 520);
    pose.y = dice.between(100, 380);
    outer = corners_of(plate.width, plate.height, pose, hard.mirrored);
    if (n > 1000 || std::all_of(outer.begin(), outer.end(),
                                [](const auto& p) { return p.x > 4 && p.y > 4 && p.x < 636 && p.y < 476; }))
      break;
  }
  shot.corners = without_rim(plate, outer);
  const Camera camera = any_camera(dice, hard.blur, hard.noise);
  std::vector<Cover> covers;
  for (int n = 0; n < hard.covers; ++n)
    covers.push_back({plate.rim + dice.between(0, 6), plate.rim + (dice.upto(2) == 0 ? 0.0 : 4.0), 1.0});
  shot.camera = camera;
  shot.image = photograph(back, plate, outer, camera, dice, covers);
  return shot;
}

struct Tally {
  int shots = 0, found = 0, wrong = 0;
  std::vector<double> off, confidence;
};

Tally take(unsigned base, int count, const std::vector<color::Lab>& colors, const Hardship& hard, bool with_table) {
  Tally tally;
  const unsigned seed = first(base);
  for (int n = 0; n < count; ++n) {
    const Shot shot = shoot(seed + static_cast<unsigned>(n), colors, hard);
    const auto found = find_chart(shot.image, with_table ? colors : std::vector<color::Lab>{});
    ++tally.shots;
    if (!found) continue;
    const double off = off_by(found->corners, shot.corners, 6, 4);
    if (off > 0.25) {
      ++tally.wrong;
      ADD_FAILURE() << "seed " << seed + static_cast<unsigned>(n) << " off by " << off << " cells, confidence "
                    << found->confidence;
      continue;
    }
    ++tally.found;
    tally.off.push_back(off);
    tally.confidence.push_back(found->confidence);
  }
  std::sort(tally.off.begin(), tally.off.end());
  std::sort(tally.confidence.begin(), tally.confidence.end());
  return tally;
}

void say(const char* what, const Tally& t) {
  std::printf("  %-34s %3d of %3d found, %d wrong", what, t.found, t.shots, t.wrong);
  if (!t.off.empty())
    std::printf("; corners off by %.3f cells (median), %.3f (worst); confidence %.2f to %.2f, median %.2f",
                t.off[t.off.size() / 2], t.off.back(), t.confidence.front(), t.confidence.back(),
                t.confidence[t.confidence.size() / 2]);
  std::printf("\n");
}

TEST(FindChart, AnyPoseAndLight) {
  const int n = shots(16);
  const Tally table = take(1000, n, own_chart(), {}, true);
  say("own chart, table given", table);
  EXPECT_GE(table.found, 0.9 * n);
  const Tally none = take(1000, n, own_chart(), {}, false);
  say("own chart, no table", none);
  EXPECT_GE(none.found, 0.85 * n);
}

// The colours of a published chart: many dull ones, and neighbours alike.
TEST(FindChart, PublishedReflectances) {
  const char* named = std::getenv("TACKCLOTH_DATA");
  const std::filesystem::path shared =
      named ? std::filesystem::path(named) : std::filesystem::path(TACKCLOTH_SOURCE_DIR) / "../shared/data";
  const auto path = shared / "colour/colorchecker_24_reflectance.csv";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "shared/data/colour is not here: that chart was NOT looked for";
  const auto samples = color::read_reflectance_file(path.string());
  ASSERT_TRUE(samples.has_value());
  const color::Viewer viewer(*color::light_named("D50"));
  std::vector<color::Lab> colors;
  for (const auto& sample : *samples) colors.push_back(viewer.lab(sample.reflectance));
  const int n = shots(16);
  const Tally table = take(2000, n, colors, {}, true);
  say("published chart, table given", table);
  EXPECT_GE(table.found, 0.85 * n);
  const Tally none = take(2000, n, colors, {}, false);
  say("published chart, no table", none);
  EXPECT_GE(none.found, 0.75 * n);
}

TEST(FindChart, Unsharp) {
  const int n = shots(8);
  const Tally t = take(3000, n, own_chart(), {2.5, 3, 0, 30, 62, false}, true);
  say("blurred by up to 2.5 pixels", t);
  EXPECT_GE(t.found, 0.7 * n);
}

TEST(FindChart, PartlyCovered) {
  const int n = shots(8);
  const Tally t = take(4000, n, own_chart(), {0.8, 2, 1, 25, 62, false}, true);
  say("a hand over a few patches", t);
  EXPECT_GE(t.found, 0.6 * n);
}

TEST(FindChart, MirroredIsRefused) {
  for (unsigned seed = 5000; seed < 5000 + static_cast<unsigned>(shots(6)); ++seed) {
    const Shot shot = shoot(seed, own_chart(), {0.6, 2, 0, 25, 62, true});
    for (const bool with_table : {true, false}) {
      const auto found = find_chart(shot.image, with_table ? own_chart() : std::vector<color::Lab>{});
      EXPECT_FALSE(found) << seed;
      if (!found && seed < 5003) {
        EXPECT_NE(found.error().what.find("mirrored"), std::string::npos) << found.error().what;
      }
    }
  }
}

TEST(FindChart, TooSmallIsNotGuessed) {
  const Tally t = take(6000, shots(6), own_chart(), {1.0, 2, 0, 4, 6, false}, true);
  say("patches of 4 to 6 pixels", t);
}

// A plate laid over the middle of a picture, as large as will go.
Image laid(const Plate& plate, unsigned seed) {
  Dice dice(seed);
  Pose pose;
  pose.x = 320;
  pose.y = 240;
  pose.unit = std::min(560 / plate.width, 420 / plate.height);
  pose.yaw = dice.between(-0.25, 0.25);
  pose.pitch = dice.between(-0.25, 0.25);
  return photograph(clutter()[seed % clutter().size()], plate, corners_of(plate.width, plate.height, pose),
                    any_camera(dice, 0.6, 2), dice);
}

Plate grid(int columns, int rows, double gap, double rim) {
  Plate p{columns + 2 * rim, rows + 2 * rim, {}, columns, rows, gap, rim, {0.6, 0.58, 0.55}};
  p.cells.resize(static_cast<std::size_t>(columns * rows), {0.35, 0.34, 0.32});
  return p;
}

void expect_no_chart(const Image& image, const std::string& what) {
  for (const bool with_table : {true, false}) {
    const auto found = find_chart(image, with_table ? own_chart() : std::vector<color::Lab>{});
    if (found) {
      ADD_FAILURE() << what << ": confidence " << found->confidence << ", " << found->squares << " squares";
    } else {
      EXPECT_NE(found.error().remedy.find("tap"), std::string::npos) << found.error().remedy;
    }
  }
}

TEST(FindChart, NotInPicturesWithoutOne) {
  for (const auto& row : csv_rows("images.csv")) expect_no_chart(picture_of(row[0]), row[0]);
  for (std::size_t n = 0; n < clutter().size(); ++n) expect_no_chart(clutter()[n], "clutter " + std::to_string(n));
  const auto example = load(std::filesystem::path(TACKCLOTH_SOURCE_DIR) / "examples/photos/cabinet-front.jpg");
  ASSERT_TRUE(example);
  expect_no_chart(example->image, "the example");
  expect_no_chart(Image(640, 480), "black");
  expect_no_chart(Image(3, 3), "tiny");
}

TEST(FindChart, FalseFriends) {
  const auto colors = [](Plate p, unsigned seed, double low, double high) {
    Dice dice(seed);
    for (auto& cell : p.cells)
      for (auto& v : cell) v = dice.between(low, high);
    return p;
  };
  for (unsigned seed = first(1); seed < first(1) + static_cast<unsigned>(shots(3)); ++seed) {
    const std::string n = " " + std::to_string(seed);
    expect_no_chart(laid(grid(14, 10, 0.08, 0.1), seed), "tiles" + n);
    expect_no_chart(laid(colors(grid(14, 10, 0.08, 0.1), seed, 0.3, 0.36), seed), "tiles, uneven" + n);
    expect_no_chart(laid(colors(grid(14, 10, 0.08, 0.1), seed, 0.02, 0.8), seed), "mosaic" + n);
    expect_no_chart(laid(grid(6, 4, 0.1, 0.2), seed), "six by four drawers" + n);
    expect_no_chart(laid(grid(4, 6, 0.1, 0.2), seed), "four by six drawers" + n);
    // A chart's shape in colours of its own.
    expect_no_chart(laid(colors(grid(6, 4, 0.12, 0.2), seed, 0.02, 0.8), seed), "six by four of any colour" + n);
    Plate board = grid(8, 8, 0, 0.3);
    for (std::size_t i = 0; i < 64; ++i)
      board.cells[i] =
          (i / 8 + i) % 2 == 0 ? std::array<double, 3>{0.75, 0.7, 0.6} : std::array<double, 3>{0.05, 0.04, 0.04};
    expect_no_chart(laid(board, seed), "checkerboard" + n);
    Plate wedge = grid(6, 4, 0.1, 0.2);
    for (std::size_t i = 0; i < 24; ++i) wedge.cells[i].fill(0.8 * std::pow(0.6, static_cast<double>(i % 6)));
    expect_no_chart(laid(wedge, seed), "grey wedges" + n);
  }
}

// All 24 colours are there, two of each row changed about: with the table that is another chart.
TEST(FindChart, AnotherOrderIsRefused) {
  auto other = own_chart();
  for (std::size_t row = 0; row < 3; ++row) {
    std::swap(other[6 * row], other[6 * row + 3]);
    std::swap(other[6 * row + 1], other[6 * row + 4]);
  }
  const Image image = laid(chart_plate(other, 0.1, 0.2), 3);
  EXPECT_FALSE(find_chart(image, own_chart()));
  EXPECT_TRUE(find_chart(image, other));
}

TEST(FindChart, OfTwoTheSurerIsNamed) {
  Dice dice(9);
  const Plate plate = chart_plate(own_chart(), 0.1, 0.2);
  const Corners large = corners_of(plate.width, plate.height, {200, 240, 50, 0.1, 0.2, 0});
  const Corners small = corners_of(plate.width, plate.height, {520, 240, 22, 1.6, 0, 0.3});
  const Image one = photograph(clutter()[1], plate, large, {}, dice, {{6.0, 0.5, 0.6}});  // a corner covered
  const Image both = photograph(one, plate, small, {}, dice);
  const auto found = find_chart(both, own_chart());
  ASSERT_TRUE(found) << to_text(found.error());
  ASSERT_EQ(found->others.size(), 1u);
  EXPECT_GT(found->confidence, found->others[0].confidence);
  EXPECT_LT(off_by(found->corners, without_rim(plate, small), 6, 4), 0.25);
  EXPECT_LT(off_by(found->others[0].corners, without_rim(plate, large), 6, 4), 0.25);
}

// What is found is what the fit needs: the camera is undone without a tap.
TEST(FindChart, FeedsTheFit) {
  const Shot shot = shoot(7001, own_chart(), {0.5, 1, 1, 35, 60, false});
  const auto found = find_chart(shot.image, own_chart());
  ASSERT_TRUE(found) << to_text(found.error());
  const auto fit = fit_chart(shot.image, found->corners, own_chart(), found->left_out);
  ASSERT_TRUE(fit) << to_text(fit.error());
  EXPECT_LT(fit->mean_de00, 3);
  EXPECT_LT(fit->mean_de00, fit->before_mean_de00 / 2);
  EXPECT_EQ(fit->patches, 24 - static_cast<int>(found->left_out.size()));
  const auto row = fit_neutral_row(shot.image, found->corners, found->left_out);
  ASSERT_TRUE(row) << to_text(row.error());
  EXPECT_LT(row->mean_de00, 3);
  // The gains of the light, whatever the exposure.
  const auto& m = shot.camera.matrix;
  const auto white = [&](std::size_t c) { return m[3 * c] + m[3 * c + 1] + m[3 * c + 2]; };
  EXPECT_NEAR(row->matrix[0] / row->matrix[4], white(1) / white(0), 0.05 * white(1) / white(0));
  EXPECT_NEAR(row->matrix[8] / row->matrix[4], white(1) / white(2), 0.05 * white(1) / white(2));
}

}  // namespace
}  // namespace tackcloth::picture
