// A chart photographed by a camera of known faults is put right again.
#include "picture/chart.h"

#include <gtest/gtest.h>

#include <cmath>

#include "chart_scene.h"
#include "color/difference.h"

namespace tackcloth::picture {
namespace {

const Corners kCorners{shape::Point{60, 50}, shape::Point{560, 80}, shape::Point{540, 400}, shape::Point{40, 420}};

// The camera's matrix, a warm light and an exposure; patches on a black board as seen at a slant.
Image seen_by(const std::array<double, 9>& camera) {
  const auto colors = own_chart();
  const auto face = *face_from_corners(kCorners, 600, 400);
  Image image(640, 480);
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      const auto mm = face.from_photo.map({x + 0.5, y + 0.5});
      const double u = mm.x / 100, v = (400 - mm.y) / 100;
      color::LinearRgb rgb{0.02, 0.02, 0.02};
      if (u > 0 && u < 6 && v > 0 && v < 4 && std::abs(u - std::floor(u) - 0.5) < 0.42 &&
          std::abs(v - std::floor(v) - 0.5) < 0.42)
        rgb =
            color::linear_rgb_from_lab(colors[static_cast<std::size_t>(static_cast<int>(v) * 6 + static_cast<int>(u))]);
      const double in[3] = {rgb.r, rgb.g, rgb.b};
      for (std::size_t c = 0; c < 3; ++c) {
        const double out = camera[3 * c] * in[0] + camera[3 * c + 1] * in[1] + camera[3 * c + 2] * in[2];
        image.at(x, y)[c] = static_cast<std::uint8_t>(std::lround(255 * std::clamp(color::encode_srgb(out), 0.0, 1.0)));
      }
    }
  return image;
}

const std::array<double, 9> kCamera{0.75, 0.12, 0.02, 0.06, 0.62, 0.04, 0.02, 0.10, 0.38};

TEST(Chart, KnownCameraIsUndone) {
  const auto fit = fit_chart(seen_by(kCamera), kCorners, own_chart());
  ASSERT_TRUE(fit) << to_text(fit.error());
  EXPECT_EQ(fit->patches, 24);
  EXPECT_LT(fit->mean_de00, 0.5);  // what 8 bits leave
  EXPECT_GT(fit->before_mean_de00, 5);
  // Matrix times camera is one.
  for (std::size_t r = 0; r < 3; ++r)
    for (std::size_t c = 0; c < 3; ++c) {
      double sum = 0;
      for (std::size_t k = 0; k < 3; ++k) sum += fit->matrix[3 * r + k] * kCamera[3 * k + c];
      EXPECT_NEAR(sum, r == c ? 1 : 0, 0.02);
    }
  const Image right = corrected(seen_by(kCamera), *fit);
  const auto grey = face_from_corners(kCorners, 600, 400)->to_photo.map({50, 50});  // patch 19
  const auto* p = right.at(static_cast<int>(grey.x), static_cast<int>(grey.y));
  EXPECT_NEAR(p[0], p[2], 3);
}

TEST(Chart, WrongCornersAndOrderAreRefused) {
  const Image photo = seen_by(kCamera);
  const Corners turned{kCorners[2], kCorners[3], kCorners[0], kCorners[1]};
  EXPECT_FALSE(fit_chart(photo, turned, own_chart()));
  EXPECT_FALSE(fit_chart(
      photo, {shape::Point{0, 0}, shape::Point{639, 0}, shape::Point{639, 479}, shape::Point{0, 479}}, own_chart()));
  EXPECT_FALSE(fit_chart(photo, kCorners, {}));
  std::array<double, 9> bright = kCamera;
  for (auto& v : bright) v *= 6;
  EXPECT_FALSE(fit_chart(seen_by(bright), kCorners, own_chart()));
}

TEST(Grey, OneFactorAChannel) {
  const Image photo = seen_by({0.8, 0, 0, 0, 0.6, 0, 0, 0, 0.4});
  const auto place = face_from_corners(kCorners, 600, 400)->to_photo.map({350, 50});  // patch 22: L 50
  const double y = color::linear_rgb_from_lab({50, 0, 0}).g;
  const auto fit = fit_grey(photo, place, y);
  ASSERT_TRUE(fit) << to_text(fit.error());
  EXPECT_NEAR(fit->matrix[0], 1 / 0.8, 0.02);
  EXPECT_NEAR(fit->matrix[4], 1 / 0.6, 0.02);
  EXPECT_NEAR(fit->matrix[8], 1 / 0.4, 0.04);
  EXPECT_FALSE(fit->warnings.empty());
  EXPECT_FALSE(fit_grey(photo, {-5, 3}, 0.18));
  EXPECT_FALSE(fit_grey(photo, place, 7));
  EXPECT_FALSE(fit_grey(Image(50, 50), {20, 20}));
}

}  // namespace
}  // namespace tackcloth::picture
