// The chart is found in pictures made here whose chart is known, and nowhere else.
#include <gtest/gtest.h>

#include <cstdlib>
#include <numbers>

#include "chart_scene.h"
#include "color/light.h"
#include "color/spectrum_csv.h"
#include "picture/chart.h"
#include "picture/find.h"
#include "truth.h"

namespace tackcloth::picture {
namespace {

constexpr double kPi = std::numbers::pi;

const std::vector<Image>& clutter() {
  static const std::vector<Image> all = [] {
    std::vector<Image> out;
    for (const char* name : {"cabinet1_cream", "cabinet2_white", "cabinet3_navy", "drawers1_red", "drawers2_white",
                             "drawers3_sage", "chair2_cream", "chair3_teal", "cabinet1_pale_wood"})
      out.push_back(enlarged(picture_of(name), 640, 480));
    return out;
  }();
  return all;
}

struct Shot {
  Image image;
  Corners corners;  // of the 6 x 4 cells
  Camera camera;
  int covered = 0;
};

// Of the cells' outer corners, from those of the plate: the rim is cut off in the plate's own plane.
Corners without_rim(const Plate& plate, const Corners& outer) {
  const double w = plate.width, h = plate.height, r = plate.rim;
  const auto to = homography(
      Corners{shape::Point{0, 0}, shape::Point{w, 0}, shape::Point{w, h}, shape::Point{0, h}}, outer);
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
    if (n > 1000 || std::all_of(outer.begin(), outer.end(), [](const auto& p) {
          return p.x > 4 && p.y > 4 && p.x < 636 && p.y < 476;
        }))
      break;
  }
  shot.corners = without_rim(plate, outer);
  Camera camera;
  const double warm = dice.between(-0.35, 0.35), strength = dice.between(0.35, 0.95), mix = dice.between(0, 0.12);
  const std::array<double, 3> gain{strength * std::exp(warm), strength, strength * std::exp(-warm)};
  for (std::size_t r = 0; r < 3; ++r)
    for (std::size_t c = 0; c < 3; ++c) camera.matrix[3 * r + c] = gain[r] * (r == c ? 1 - 2 * mix : mix);
  for (auto& v : camera.matrix) v /= std::max(1.0, *std::max_element(gain.begin(), gain.end()) / 0.95);
  camera.slope_x = dice.between(-0.3, 0.3);
  camera.slope_y = dice.between(-0.3, 0.3);
  camera.blur = dice.between(0, hard.blur);
  camera.noise = dice.between(0, hard.noise);
  std::vector<Cover> covers;
  for (int n = 0; n < hard.covers; ++n)
    covers.push_back({plate.rim + dice.between(0, 6), plate.rim + (dice.upto(2) == 0 ? 0.0 : 4.0), 1.0});
  shot.camera = camera;
  shot.image = photograph(back, plate, outer, camera, dice, covers);
  return shot;
}

// The largest distance of a corner, in cells of the true chart.
double off_by(const Corners& found, const Corners& is) {
  const double cell = std::min(std::hypot(is[1].x - is[0].x, is[1].y - is[0].y) / 6,
                               std::hypot(is[3].x - is[0].x, is[3].y - is[0].y) / 4);
  double most = 0;
  for (std::size_t n = 0; n < 4; ++n)
    most = std::max(most, std::hypot(found[n].x - is[n].x, found[n].y - is[n].y) / cell);
  return most;
}

struct Tally {
  int shots = 0, found = 0, wrong = 0;
  std::vector<double> off, confidence;
};

// TACKCLOTH_WARPS=n takes n pictures of each kind instead of a few.
int shots(int few) {
  const char* text = std::getenv("TACKCLOTH_WARPS");
  return text ? std::max(1, std::atoi(text)) : few;
}

Tally take(unsigned seed, int count, const std::vector<color::Lab>& colors, const Hardship& hard, bool with_table) {
  Tally tally;
  for (int n = 0; n < count; ++n) {
    const Shot shot = shoot(seed + static_cast<unsigned>(n), colors, hard);
    const auto found = find_chart(shot.image, with_table ? colors : std::vector<color::Lab>{});
    ++tally.shots;
    if (!found) continue;
    const double off = off_by(found->corners, shot.corners);
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

}  // namespace
}  // namespace tackcloth::picture
