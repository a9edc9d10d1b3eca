// What recolouring must and must not touch, on pictures whose answer can be worked out.
#include "picture/recolor.h"

#include <gtest/gtest.h>

#include <cmath>

#include "picture/fabric.h"

namespace tackcloth::picture {
namespace {

constexpr int kWidth = 120, kHeight = 80;

std::uint8_t code(double linear) { return static_cast<std::uint8_t>(std::lround(255 * color::encode_srgb(linear))); }

// A board of one albedo under light that falls off from left to right; around it a wall of albedo 0.65 in the same
// light.
Image board(const color::LinearRgb& albedo, const Mask& mask) {
  Image image(kWidth, kHeight);
  for (int y = 0; y < kHeight; ++y)
    for (int x = 0; x < kWidth; ++x) {
      const double light = 0.9 - 0.5 * x / kWidth;
      const double m = mask.at(x, y) / 255.0;
      image.at(x, y)[0] = code(light * (m * albedo.r + (1 - m) * 0.65));
      image.at(x, y)[1] = code(light * (m * albedo.g + (1 - m) * 0.65));
      image.at(x, y)[2] = code(light * (m * albedo.b + (1 - m) * 0.65));
    }
  return image;
}

Mask middle() { return cover_of({{{30.3, 20.4}, {90.6, 20.4}, {90.6, 60.7}, {30.3, 60.7}}}, kWidth, kHeight); }

int furthest(const Image& a, const Image& b) {
  int most = 0;
  for (std::size_t i = 0; i < a.rgb.size(); ++i) most = std::max(most, std::abs(a.rgb[i] - b.rgb[i]));
  return most;
}

TEST(Recolor, DullBoardIsExact) {
  const color::LinearRgb now{0.3, 0.4, 0.25}, then{0.1, 0.15, 0.4};
  const Mask mask = middle();
  Options options;
  options.from = color::lab_from_linear_rgb(now);
  options.sheen = Sheen::matt;
  Wanted wanted;
  wanted.to = color::lab_from_linear_rgb(then);
  const auto got = recolor(board(now, mask), mask, wanted, options);
  ASSERT_TRUE(got) << to_text(got.error());
  EXPECT_LE(furthest(*got, board(then, mask)), 3);  // codes of 255; the rim too
}

TEST(Recolor, OutsideNoByteChanges) {
  const Mask mask = middle();
  const Image before = board({0.3, 0.4, 0.25}, mask);
  Wanted wanted;
  wanted.to = {20, 50, 30};
  const auto got = recolor(before, mask, wanted);
  ASSERT_TRUE(got);
  for (std::size_t i = 0; i < mask.cover.size(); ++i)
    if (mask.cover[i] == 0) {
      for (std::size_t c = 0; c < 3; ++c) ASSERT_EQ(got->rgb[3 * i + c], before.rgb[3 * i + c]);
    }
}

TEST(Recolor, SameColourIsTheSamePicture) {
  const color::LinearRgb now{0.3, 0.4, 0.25};
  const Mask mask = middle();
  const Image before = board(now, mask);
  Options options;
  options.from = color::lab_from_linear_rgb(now);
  Wanted wanted;
  wanted.to = *options.from;
  EXPECT_LE(furthest(*recolor(before, mask, wanted, options), before), 1);
}

TEST(Recolor, ThreadsDoNotMatterAndTwiceIsTheSame) {
  const Mask mask = middle();
  const Image before = board({0.3, 0.4, 0.25}, mask);
  Wanted wanted;
  wanted.to = {20, 50, 30};
  Options one, many;
  one.threads = 1;
  many.threads = 5;
  EXPECT_EQ(recolor(before, mask, wanted, one)->rgb, recolor(before, mask, wanted, many)->rgb);
}

TEST(Recolor, ClearDeepensByItsGain) {
  const color::LinearRgb now{0.4, 0.25, 0.12};
  const Mask mask = middle();
  Options options;
  options.from = color::lab_from_linear_rgb(now);
  options.sheen = Sheen::matt;
  Wanted wanted;
  wanted.surface = Surface::clear;
  wanted.gain = {0.8, 0.7, 0.5};
  EXPECT_LE(furthest(*recolor(board(now, mask), mask, wanted, options), board({0.32, 0.175, 0.06}, mask)), 3);
}

TEST(Recolor, WrongMasksAreRefused) {
  const Image image(40, 30);
  const auto size = recolor(image, Mask(41, 30, 255), {});
  ASSERT_FALSE(size);
  EXPECT_NE(size.error().what.find("41 x 30"), std::string::npos);
  EXPECT_NE(size.error().what.find("40 x 30"), std::string::npos);
  EXPECT_FALSE(recolor(image, Mask(40, 30), {}));
}

// Black, white, one pixel, all zone: an answer, never a crash or a value that is not a number.
TEST(Recolor, OddPictures) {
  Wanted wanted;
  wanted.to = {60, 20, 20};
  for (const int value : {0, 255})
    for (const auto& [w, h] : {std::pair{1, 1}, {1, 50}, {50, 1}, {33, 20}})
      for (const auto present : {Present::paint, Present::clear_wood}) {
        Image image(w, h);
        std::fill(image.rgb.begin(), image.rgb.end(), static_cast<std::uint8_t>(value));
        Options options;
        options.present = present;
        EXPECT_TRUE(recolor(image, Mask(w, h, 255), wanted, options));
        options.from = color::Lab{0, 0, 0};
        EXPECT_TRUE(recolor(image, Mask(w, h, 3), wanted, options));
      }
}

// Stripes of a known width in millimetres are found in the photo at that width.
TEST(Cloth, StripesKeepTheirSize) {
  const Mask all(kWidth, kHeight, 255);
  Cloth cloth;
  cloth.swatch = Image(64, 64);
  for (int y = 0; y < 64; ++y)
    for (int x = 0; x < 64; ++x)
      for (int c = 0; c < 3; ++c) cloth.swatch.at(x, y)[c] = x < 32 ? 220 : 30;
  cloth.repeat_mm = 100;
  cloth.photo_width = kWidth;
  cloth.photo_height = kHeight;
  // 600 mm over 120 pixels: a repeat is 20 pixels.
  cloth.face = *face_from_corners(
      {shape::Point{0, 0}, shape::Point{120, 0}, shape::Point{120, 80}, shape::Point{0, 80}}, 600, 400);
  ASSERT_TRUE(check(cloth));
  Wanted wanted;
  wanted.surface = Surface::cloth;
  wanted.cloth = &cloth;
  Options options;
  options.from = color::lab_from_linear_rgb({0.5, 0.5, 0.5});
  const auto got = recolor(board({0.5, 0.5, 0.5}, all), all, wanted, options);
  ASSERT_TRUE(got);
  for (int y = 5; y < kHeight; y += 20)
    for (int k = 0; k < 6; ++k) EXPECT_GT(got->at(20 * k + 5, y)[1], 2 * got->at(20 * k + 15, y)[1]) << k;
  // So fine a repeat that a pixel sees many: their mean, no pattern that is not there.
  cloth.repeat_mm = 2;
  const auto fine = recolor(board({0.5, 0.5, 0.5}, all), all, wanted, options);
  for (int x = 20; x < 100; ++x) EXPECT_NEAR(fine->at(x, 40)[1], fine->at(x + 1, 40)[1], 3);
  cloth.repeat_mm = 0;
  EXPECT_FALSE(check(cloth));
}

}  // namespace
}  // namespace tackcloth::picture
