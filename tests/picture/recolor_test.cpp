// What recolouring must and must not touch, on pictures whose answer can be worked out.
#include "picture/recolor.h"

#include <gtest/gtest.h>

#include <cmath>

#include "picture/fabric.h"
#include "picture/split.h"
#include "truth.h"

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

// Pixel by pixel as split.h says it, the grid sampled in between.
Image plainly(const Image& image, const Zone& zone, const color::Lab& to) {
  const Splitter split(zone);
  const color::LinearRgb rgb = color::linear_rgb_from_lab(to);
  const std::array<double, 3> albedo{rgb.r, rgb.g, rgb.b};
  Image out = image;
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      const double u = std::clamp((x + 0.5) * zone.grid_width / image.width - 0.5, 0.0, zone.grid_width - 1.0);
      const double v = std::clamp((y + 0.5) * zone.grid_height / image.height - 0.5, 0.0, zone.grid_height - 1.0);
      const int x0 = static_cast<int>(u), y0 = static_cast<int>(v);
      const int x1 = std::min(x0 + 1, zone.grid_width - 1), y1 = std::min(y0 + 1, zone.grid_height - 1);
      const auto between = [&](auto term) {
        const auto at = [&](int cx, int cy) {
          return static_cast<double>(term(zone.grid[static_cast<std::size_t>(cy * zone.grid_width + cx)]));
        };
        const double top = at(x0, y0) + (u - x0) * (at(x1, y0) - at(x0, y0));
        const double low = at(x0, y1) + (u - x0) * (at(x1, y1) - at(x0, y1));
        return static_cast<float>(top + (v - y0) * (low - top));
      };
      Zone::Cell cell;
      std::array<float, 3> j{}, veil{};
      for (std::size_t c = 0; c < 3; ++c) {
        cell.light[c] = between([&](const Zone::Cell& k) { return k.light[c]; });
        const auto seen = static_cast<float>(color::decode_srgb(image.at(x, y)[c] / 255.0));
        const float left = without_veil(seen, zone.veil[c]);
        veil[c] = seen - left;
        j[c] = left / cell.light[c];
      }
      cell.ceiling = between([](const Zone::Cell& k) { return k.ceiling; });
      cell.slope = between([](const Zone::Cell& k) { return k.slope; });
      cell.offset = between([](const Zone::Cell& k) { return k.offset; });
      const Split s = zone.clear_wood ? split.wood(j, cell) : split.paint(j, cell.ceiling);
      for (std::size_t c = 0; c < 3; ++c)
        out.at(x, y)[c] = code(std::clamp(cell.light[c] * (s.shading[c] * albedo[c] + s.gloss) + veil[c], 0.0, 1.0));
    }
  return out;
}

// Whole pixels are painted many at a time (block.h): nobody may see it.
TEST(Recolor, ManyAtATimeIsOneByOne) {
  struct Case {
    const char *photo, *scene;
    Present present;
    Sheen sheen;
    color::Lab from;
  };
  for (const Case& c : {Case{"cabinet2_teal", "cabinet", Present::paint, Sheen::satin, {50, -30, -8}},
                        Case{"drawers2_black", "drawers", Present::paint, Sheen::gloss, {22, 0, 0}},
                        Case{"cabinet1_cream", "cabinet", Present::paint, Sheen::unknown, {83, 3, 20}},
                        Case{"drawers3_pale_wood", "drawers", Present::clear_wood, Sheen::unknown, {70, 10, 25}}}) {
    const Image image = picture_of(c.photo);
    Options options;
    options.present = c.present;
    options.from = c.from;
    options.sheen = c.sheen;
    const auto zone = separate(image, mask_of(c.scene), options);
    ASSERT_TRUE(zone) << c.photo;
    Wanted wanted;
    wanted.to = {60, 20, -30};
    const Mask all(image.width, image.height, 255);
    const Image blocks = repaint(image, all, *zone, wanted), plain = plainly(image, *zone, wanted.to);
    EXPECT_LE(furthest(blocks, plain), 1) << c.photo;
    std::size_t other = 0;
    for (std::size_t i = 0; i < plain.rgb.size(); ++i) other += plain.rgb[i] != blocks.rgb[i];
    EXPECT_LT(other, plain.rgb.size() / 50) << c.photo;  // rounding only: the tables have 16384 steps
  }
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

// One white column of seven, so fine that a pixel sees hundreds: a seventh of the light, whichever column it is.
TEST(Cloth, AnOddNumberOfThreadsIsCountedOnceEach) {
  Cloth cloth;
  cloth.repeat_mm = 1;
  cloth.photo_width = cloth.photo_height = 100;
  cloth.face = *face_from_corners(
      {shape::Point{0, 0}, shape::Point{100, 0}, shape::Point{100, 100}, shape::Point{0, 100}}, 6000, 6000);
  for (int white = 0; white < 7; ++white) {
    cloth.swatch = Image(7, 5);
    for (int y = 0; y < 5; ++y)
      for (int c = 0; c < 3; ++c) cloth.swatch.at(white, y)[c] = 255;
    EXPECT_NEAR(Weave(cloth, 100, 100).at(50, 50)[0], 1.0 / 7, 1e-5) << white;
  }
}

}  // namespace
}  // namespace tackcloth::picture
