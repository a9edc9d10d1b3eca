// Zones from three taps against the masks of the renderer.
#include "picture/pick.h"

#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "truth.h"

namespace tackcloth::picture {
namespace {

TEST(Pick, AFewTapsOnRenderedScenes) {
  struct Case {
    const char *photo, *scene;
    Taps taps;
    double least;
  };
  // The first was among those used to choose the weights, the others not. A box of one colour is had by three taps; a
  // white one before a white wall and a chair of sticks need more.
  const Taps cabinet{{{135, 140}, {75, 120}}, {{30, 100}}}, drawers{{{135, 70}, {258, 120}}, {{290, 100}}};
  const Taps white{{{135, 70}, {258, 120}, {150, 180}}, {{290, 100}, {15, 60}, {150, 22}, {60, 225}, {200, 215}}};
  const Taps chair{{{110, 10}, {90, 60}, {107, 180}, {143, 200}, {230, 180}, {160, 135}, {180, 60}},
                   {{160, 113},
                    {30, 100},
                    {125, 80},
                    {150, 80},
                    {200, 100},
                    {180, 220},
                    {120, 200},
                    {128, 215},
                    {190, 170},
                    {250, 200}}};
  const Case cases[] = {
      {"cabinet1_pale_wood", "cabinet", cabinet, 0.85}, {"cabinet3_sage", "cabinet", cabinet, 0.85},
      {"drawers1_red", "drawers", drawers, 0.85},       {"drawers3_pale_wood", "drawers", drawers, 0.85},
      {"drawers1_white", "drawers", white, 0.55},       {"chair1_black", "chair", chair, 0.5},
  };
  for (const auto& c : cases) {
    const auto mask = pick_zone(picture_of(c.photo), c.taps);
    ASSERT_TRUE(mask) << to_text(mask.error());
    const double shared = overlap(*mask, mask_of(c.scene));
    std::printf("%-22s overlap %.3f\n", c.photo, shared);
    EXPECT_GE(shared, c.least) << c.photo;
    if (std::getenv("TACKCLOTH_PICTURES"))
      save(*mask, std::filesystem::temp_directory_path() / ("pick_" + std::string(c.photo) + ".png"));
  }
}

TEST(Pick, BrushAddsAndRemoves) {
  Mask mask(100, 60);
  brush(mask, {{20, 30}, {80, 30}}, 10, true);
  double area = 0;
  for (const auto v : mask.cover) area += v / 255.0;
  EXPECT_NEAR(area, 60 * 20 + M_PI * 100, 15);  // a rectangle with two half discs
  brush(mask, {{20, 30}, {80, 30}}, 12, false);
  for (const auto v : mask.cover) EXPECT_EQ(v, 0);
  brush(mask, {{-500, -500}, {500, 500}}, 3, true);  // over the edges
  brush(mask, {}, 3, true);
}

TEST(Pick, BadTapsAreRefused) {
  const Image image(20, 10);
  EXPECT_FALSE(pick_zone(image, {}));
  EXPECT_FALSE(pick_zone(image, {{{25, 5}}, {}}));
  EXPECT_FALSE(pick_zone(image, {{{5, 5}}, {{NAN, 5}}}));
  EXPECT_TRUE(pick_zone(image, {{{5, 5}}, {}}));
}

}  // namespace
}  // namespace tackcloth::picture
