// Zones from three taps against the masks of the renderer.
#include "picture/pick.h"

#include <cstdio>
#include <cstdlib>

#include "truth.h"

namespace tackcloth::picture {
namespace {

TEST(Pick, ThreeTapsOnRenderedScenes) {
  struct Case {
    const char *photo, *scene;
    Taps taps;
    double least;
  };
  const Case cases[] = {
      {"cabinet1_navy", "cabinet", {{{135, 140}, {75, 120}}, {{30, 100}}}, 0.9},
      {"cabinet1_pale_wood", "cabinet", {{{135, 140}, {75, 120}}, {{30, 100}}}, 0.9},
      {"chair3_teal", "chair", {{{160, 135}, {100, 170}}, {{30, 100}}}, 0.6},
      {"cabinet1_cream", "cabinet", {{{135, 140}, {75, 120}}, {{30, 100}}}, 0.9},
      {"drawers2_red", "drawers", {{{135, 70}, {258, 120}}, {{290, 100}}}, 0.9},
      {"drawers2_white", "drawers", {{{135, 70}, {258, 120}}, {{290, 100}}}, 0.9},
      {"cabinet2_teal", "cabinet", {{{135, 140}, {75, 120}}, {{30, 100}}}, 0.9},
      {"cabinet3_sage", "cabinet", {{{135, 140}, {75, 120}}, {{30, 100}}}, 0.9},
      {"drawers1_red", "drawers", {{{135, 70}, {258, 120}}, {{290, 100}}}, 0.9},
      {"drawers3_pale_wood", "drawers", {{{135, 70}, {258, 120}}, {{290, 100}}}, 0.9},
      {"chair1_black", "chair", {{{160, 135}, {100, 170}}, {{30, 100}}}, 0.6},
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

}  // namespace
}  // namespace tackcloth::picture
