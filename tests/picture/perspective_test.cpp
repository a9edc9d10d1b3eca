// Homographies against closed forms and known cameras; zones against areas that can be worked out.
#include "picture/perspective.h"

#include <gtest/gtest.h>

#include <cmath>

#include "picture/photo.h"

namespace tackcloth::picture {
namespace {

using shape::Point;

void expect_near(Point a, Point b, double within) {
  EXPECT_NEAR(a.x, b.x, within);
  EXPECT_NEAR(a.y, b.y, within);
}

// Unit square to a quadrilateral has a closed form: Heckbert, Fundamentals of Texture Mapping and Image Warping (1989),
// section 2.2.3, equations for g and h by determinants.
TEST(Homography, HeckbertClosedForm) {
  const Corners square{Point{0, 0}, Point{1, 0}, Point{1, 1}, Point{0, 1}};
  const Corners quad{Point{12, 7}, Point{403, 31}, Point{377, 290}, Point{40, 333}};
  const double sx = quad[0].x - quad[1].x + quad[2].x - quad[3].x, sy = quad[0].y - quad[1].y + quad[2].y - quad[3].y;
  const double dx1 = quad[1].x - quad[2].x, dx2 = quad[3].x - quad[2].x;
  const double dy1 = quad[1].y - quad[2].y, dy2 = quad[3].y - quad[2].y;
  const double det = dx1 * dy2 - dx2 * dy1;
  const double g = (sx * dy2 - dx2 * sy) / det, h = (dx1 * sy - sx * dy1) / det;
  const double want[9] = {quad[1].x - quad[0].x + g * quad[1].x,
                          quad[3].x - quad[0].x + h * quad[3].x,
                          quad[0].x,
                          quad[1].y - quad[0].y + g * quad[1].y,
                          quad[3].y - quad[0].y + h * quad[3].y,
                          quad[0].y,
                          g,
                          h,
                          1};
  const auto found = homography(square, quad);
  ASSERT_TRUE(found);
  for (std::size_t i = 0; i < 9; ++i) EXPECT_NEAR(found->h[i], want[i], 1e-9 * (1 + std::abs(want[i]))) << i;
}

// getPerspectiveTransform of OpenCV 4.5.1 (npm @techstark/opencv-js 4.5.2) on a cabinet's side, a narrow post and a
// long apron, as it printed them.
TEST(Homography, AgreesWithOpenCv) {
  struct Case {
    double width, height;
    Corners photo;
    double h[9];
  };
  const Case cases[] = {
      {600,
       400,
       {Point{812.25, 431.5}, Point{2987.75, 702.125}, Point{2801.5, 2333}, Point{655.0625, 2510.75}},
       {5.01535529548202, -0.331142346559856, 812.25, 0.777581071795492, 5.43509573552118, 431.5, 0.000465073035611643,
        0.0000943824496748696, 1}},
      {18.5,
       1200,
       {Point{3100.5, 220.25}, Point{3175, 190.5}, Point{3190.75, 2875.125}, Point{3098, 2710}},
       {-6.46336686150889, -0.483269236134997, 3100.5, -2.23753174142026, 1.65387049281499, 220.25,
        -0.00330406106725541, -0.000155321466365934, 1}},
      {2400,
       35,
       {Point{10, 1500}, Point{3990, 1380}, Point{3985.5, 1449.25}, Point{14.5, 1561}},
       {1.4660024510708, 0.129456066297769, 10, -0.116520455519372, 1.83809296981006, 1500, -0.0000482032286372262,
        0.0000610094983682984, 1}},
  };
  for (const auto& c : cases) {
    const auto found =
        homography({Point{0, 0}, Point{c.width, 0}, Point{c.width, c.height}, Point{0, c.height}}, c.photo);
    ASSERT_TRUE(found);
    for (std::size_t i = 0; i < 9; ++i) EXPECT_NEAR(found->h[i], c.h[i], 1e-9 * (1 + std::abs(c.h[i]))) << i;
  }
}

// A pinhole camera looking at a board: every point of the board, not only the corners, must land where the camera puts
// it.
TEST(Homography, PinholeCamera) {
  const double turn = 0.6, f = 1500, cx = 2000, cy = 1500, far = 1800;
  const auto camera = [&](Point mm) {
    const double x = (mm.x - 300) * std::cos(turn), z = far + (mm.x - 300) * std::sin(turn), y = -(mm.y - 200);
    return Point{cx + f * x / z, cy + f * y / z};
  };
  const auto face =
      face_from_corners({camera({0, 400}), camera({600, 400}), camera({600, 0}), camera({0, 0})}, 600, 400);
  ASSERT_TRUE(face) << to_text(face.error());
  for (double x = 0; x <= 600; x += 60)
    for (double y = 0; y <= 400; y += 50) {
      expect_near(face->to_photo.map({x, y}), camera({x, y}), 1e-7);
      expect_near(face->from_photo.map(camera({x, y})), {x, y}, 1e-7);
    }
}

TEST(Homography, LeastSquaresHealsSmallErrors) {
  std::vector<Point> from, to;
  for (int i = 0; i < 36; ++i) {
    const Point p{(i % 6) * 20.0, (i / 6) * 15.0};
    from.push_back(p);
    const double w = 0.001 * p.x - 0.0005 * p.y + 1;
    to.push_back({(1.2 * p.x + 0.1 * p.y + 30) / w + (i % 2 ? 0.1 : -0.1), (-0.2 * p.x + p.y + 10) / w});
  }
  const auto found = homography(from, to);
  ASSERT_TRUE(found);
  const double w = 0.001 * 50 - 0.0005 * 37 + 1;
  expect_near(found->map({50, 37}), {(1.2 * 50 + 0.1 * 37 + 30) / w, (-0.2 * 50 + 37 + 10) / w}, 0.05);
}

TEST(Face, BadCornersAreRefusedInWords) {
  const auto refused = [](Corners c, const char* word) {
    const auto face = face_from_corners(c, 600, 400);
    ASSERT_FALSE(face) << word;
    EXPECT_NE(face.error().what.find(word), std::string::npos) << face.error().what;
  };
  refused({Point{0, 0}, Point{100, 100}, Point{100, 0}, Point{0, 100}}, "cross");
  refused({Point{0, 0}, Point{50, 0.2}, Point{100, 0}, Point{50, 90}}, "in line");
  refused({Point{0, 0}, Point{100, 0}, Point{30, 30}, Point{0, 100}}, "inside");
  refused({Point{0, 0}, Point{0, 100}, Point{100, 100}, Point{100, 0}}, "wrong way");
  refused({Point{0, 0}, Point{0, 0}, Point{100, 100}, Point{0, 100}}, "on top");
  refused({Point{0, 0}, Point{NAN, 0}, Point{100, 100}, Point{0, 100}}, "not a place");
  EXPECT_FALSE(face_from_corners({Point{0, 0}, Point{100, 0}, Point{100, 100}, Point{0, 100}}, 0, 400));
  EXPECT_FALSE(face_from_corners({Point{0, 0}, Point{100, 0}, Point{100, 100}, Point{0, 100}}, 1e9, 400));
}

TEST(Zone, CircleHasItsArea) {
  const auto face = face_from_corners({Point{100, 50}, Point{700, 50}, Point{700, 450}, Point{100, 450}}, 600, 400);
  ASSERT_TRUE(face);
  const Mask mask = zone_on_photo(shape::circle({300, 200}, 120), *face, 800, 500);
  double area = 0;
  for (const auto v : mask.cover) area += v / 255.0;
  EXPECT_NEAR(area, M_PI * 120 * 120, 0.001 * M_PI * 120 * 120);
  EXPECT_EQ(mask.at(400, 250), 255);
  EXPECT_EQ(mask.at(150, 60), 0);
  // y runs up on the face: a circle near its top is near the top of the photo.
  const Mask high = zone_on_photo(shape::circle({300, 350}, 30), *face, 800, 500);
  EXPECT_EQ(high.at(400, 100), 255);
}

TEST(Zone, StaysOnTheFace) {
  const auto face = face_from_corners({Point{100, 50}, Point{700, 80}, Point{650, 400}, Point{120, 450}}, 600, 400);
  ASSERT_TRUE(face);
  const Mask all = zone_on_photo(shape::rectangle({-5000, -5000}, 10000, 10000), *face, 800, 500);
  double area = 0;
  for (const auto v : all.cover) area += v / 255.0;
  // Shoelace over the four corners.
  const double want = 0.5 * std::abs((100 * 80 - 700 * 50) + (700 * 400 - 650 * 80) + (650 * 450 - 120 * 400) +
                                     (120 * 50 - 100 * 450.0));
  EXPECT_NEAR(area, want, 2);
}

// Coverage of a slanted half plane, pixel by pixel, is the area under the line.
TEST(Cover, HalfPlane) {
  const Mask mask = cover_of({{{0, 0}, {10, 0}, {10, 4.25}, {0, 2.25}}}, 10, 8);
  EXPECT_NEAR(mask.at(2, 2) / 255.0, 0.75, 0.15);
  double column = 0;
  for (int y = 0; y < 8; ++y) column += mask.at(5, y) / 255.0;
  EXPECT_NEAR(column, 2.25 + 0.2 * 5.5, 0.13);
}

// A chequered board drawn through a known camera comes back square.
TEST(Flatten, ChequeredBoard) {
  const auto face = face_from_corners({Point{60, 40}, Point{520, 90}, Point{480, 400}, Point{30, 430}}, 400, 300);
  ASSERT_TRUE(face);
  Image photo(600, 480);
  for (int y = 0; y < photo.height; ++y)
    for (int x = 0; x < photo.width; ++x) {
      int white = 0;
      for (int s = 0; s < 16; ++s) {
        const Point mm = face->from_photo.map({x + (s % 4 + 0.5) / 4, y + (s / 4 + 0.5) / 4});
        white += (static_cast<int>(std::floor(mm.x / 50)) + static_cast<int>(std::floor(mm.y / 50))) % 2 ? 0 : 1;
      }
      const auto v = static_cast<std::uint8_t>(white * 255 / 16);
      photo.at(x, y)[0] = photo.at(x, y)[1] = photo.at(x, y)[2] = v;
    }
  const auto flat = flatten_face(photo, *face, 1);
  ASSERT_TRUE(flat);
  ASSERT_EQ(flat->width, 400);
  ASSERT_EQ(flat->height, 300);
  for (int cy = 0; cy < 6; ++cy)
    for (int cx = 0; cx < 8; ++cx) {
      const int v = flat->at(cx * 50 + 25, 299 - (cy * 50 + 25))[1];
      EXPECT_EQ(v > 128, (cx + cy) % 2 == 0) << cx << " " << cy;
    }
  EXPECT_FALSE(flatten_face(photo, *face, 1e6));
}

}  // namespace
}  // namespace tackcloth::picture
