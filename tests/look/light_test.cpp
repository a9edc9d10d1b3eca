// The light of a photo put right by what lies beside the piece. The photos are made here: known colours under a
// known cast, so that the truth does not come from the code under test.
#include "look/light.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "../job/sample.h"
#include "../picture/chart_scene.h"
#include "color/difference.h"
#include "look/view.h"
#include "picture/photo.h"

namespace tackcloth::look {
namespace {

constexpr std::array<double, 3> kLamp{1.35, 1.0, 0.6};  // what a warm lamp does to red, green and blue

void fill(picture::Image& image, int x0, int y0, int x1, int y1, const color::LinearRgb& c) {
  const std::array<double, 3> light{c.r * kLamp[0], c.g * kLamp[1], c.b * kLamp[2]};
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x)
      for (std::size_t k = 0; k < 3; ++k) {
        const double v = light[k];  // IEC 61966-2-1
        const double code = v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1 / 2.4) - 0.055;
        image.rgb[3 * static_cast<std::size_t>(y * image.width + x) + k] =
            static_cast<std::uint8_t>(std::lround(255 * std::min(1.0, code)));
      }
}

const color::Lab kDoor{45, 18, 30};

// A brown door on the left, a card of 18 % on the right, on a pale floor; a window burnt out.
picture::Image room() {
  picture::Image image(640, 400);
  fill(image, 0, 0, 640, 400, color::linear_rgb_from_lab({60, 2, 12}));
  fill(image, 40, 40, 360, 360, color::linear_rgb_from_lab(kDoor));
  fill(image, 440, 140, 560, 240, {0.18, 0.18, 0.18});
  fill(image, 580, 300, 640, 400, {2, 2, 2});  // a window
  return image;
}

color::Lab at(const picture::Image& image, int x, int y) {
  const std::size_t i = 3 * static_cast<std::size_t>(y * image.width + x);
  const auto linear = [&](std::size_t k) {  // IEC 61966-2-1
    const double code = image.rgb[i + k] / 255.0;
    return code <= 0.04045 ? code / 12.92 : std::pow((code + 0.055) / 1.055, 2.4);
  };
  return color::lab_from_linear_rgb({linear(0), linear(1), linear(2)});
}

job::Photo said(const std::string& what, std::vector<double> place = {}) {
  job::Photo photo;
  photo.lies_in_it = what;
  photo.card_at = std::move(place);
  return photo;
}

TEST(Light, OfACardThatWasTapped) {
  const picture::Image photo = room();
  const Light light = light_of(photo, said("grey_card", {500, 190}));
  ASSERT_TRUE(light.known) << light.note;
  EXPECT_GT(color::difference_2000(at(photo, 200, 200), kDoor), 4);
  EXPECT_LT(color::difference_2000(at(picture::corrected(photo, light.calibration), 200, 200), kDoor), 1);
  EXPECT_NE(light.note.find("500, 190"), std::string::npos) << light.note;
}

// A place that is no card leaves the photo as it is, and says why.
TEST(Light, WhatIsNoCardIsRefused) {
  for (const std::vector<double>& place : {std::vector<double>{610, 350}, {5000, 5}}) {
    const Light light = light_of(room(), said("grey_card", place));
    EXPECT_FALSE(light.known);
    EXPECT_NE(light.note.find("not put right"), std::string::npos) << light.note;
  }
  const Light chart = light_of(room(), said("chart"));
  EXPECT_FALSE(chart.known);
  EXPECT_NE(chart.note.find("not put right"), std::string::npos) << chart.note;
}

// Nothing is looked for that nobody said was there; how far to trust the colours is said all the same.
TEST(Light, NothingSaidNothingChanged) {
  const Light light = light_of(room(), said(""));
  EXPECT_FALSE(light.known);
  EXPECT_NE(light.note.find("not known"), std::string::npos) << light.note;
}

TEST(Light, OfAChartByItsGreyRow) {
  picture::Image photo = room();
  const auto colors = picture::own_chart();
  constexpr int cell = 34, x = 390, y = 130;
  fill(photo, x - 6, y - 6, x + 6 * cell + 6, y + 4 * cell + 6, {0.03, 0.03, 0.03});
  for (int n = 0; n < 24; ++n) {
    const int left = x + n % 6 * cell, top = y + n / 6 * cell;
    // Dimmed, so that the warm lamp does not burn out the white.
    auto c = color::linear_rgb_from_lab(colors[static_cast<std::size_t>(n)]);
    fill(photo, left + 4, top + 4, left + cell - 4, top + cell - 4, {0.6 * c.r, 0.6 * c.g, 0.6 * c.b});
  }
  const Light light = light_of(photo, said("chart"));
  ASSERT_TRUE(light.known) << light.note;
  const color::Lab door = at(picture::corrected(photo, light.calibration), 200, 200);
  EXPECT_NEAR(color::lch_from_lab(door).h_deg, color::lch_from_lab(kDoor).h_deg, 3) << light.note;
}

// A view of a face is shown in the light put right, and says so.
TEST(Light, AFaceIsShownInIt) {
  const auto dir = std::filesystem::path(::testing::TempDir());
  const auto file = dir / "light.png";
  ASSERT_TRUE(picture::save(room(), file));
  job::Job job;
  job.file = (dir / "light.toml").string();
  job::PieceOrder order;
  order.piece.id = "door";
  piece::Part part;
  part.id = "leaf";
  part.existing = piece::Existing::paint_oil;
  piece::Face face;
  face.name = "front";
  face.width_mm = face.height_mm = 400;
  face.region = shape::rectangle({0, 0}, 400, 400);
  part.faces.push_back(face);
  order.piece.parts.push_back(part);
  job::Photo photo = said("grey_card", {500, 190});
  photo.id = "front";
  photo.file = "light.png";
  photo.part = "leaf";
  photo.face = "front";
  photo.corners = {40, 40, 360, 40, 360, 360, 40, 360};
  const auto right = view_of(job, order, photo, 320);
  ASSERT_TRUE(right) << right.error().what;
  EXPECT_LT(color::difference_2000(at(right->image, 100, 100), kDoor), 1.5);
  photo.lies_in_it.clear();
  photo.card_at.clear();
  const auto taken = view_of(job, order, photo, 320);
  ASSERT_TRUE(taken);
  EXPECT_GT(color::difference_2000(at(taken->image, 100, 100), kDoor), 4);
  EXPECT_NE(taken->notes.front(), right->notes.front());
}

}  // namespace
}  // namespace tackcloth::look
