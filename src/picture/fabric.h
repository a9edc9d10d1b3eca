// Cloth from a photo of a swatch, laid on a face at its true size.
#pragma once

#include <array>
#include <vector>

#include "picture/perspective.h"

namespace tackcloth::picture {

// The swatch photo shows exactly one repeat of the pattern from edge to edge, evenly lit; its sRGB colours are taken
// for the cloth's albedo. It is tiled from the bottom left corner of the face.
struct Cloth {
  Image swatch;
  double repeat_mm = 0;  // width of one repeat; its height follows from the swatch's own proportions
  Face face;             // in pixels of the photo the zone was separated from
  int photo_width = 0, photo_height = 0;
};

// A Problem unless the repeat is 1 mm to 3 m and the swatch at least 4 x 4 pixels.
Result<void> check(const Cloth& cloth);

// What of the cloth a pixel sees. Where a pixel spans many threads it sees their mean: a pyramid of halved swatches
// (Williams 1983), the level by the pixel's footprint.
class Weave {
 public:
  Weave(const Cloth& cloth, int width, int height);  // of the picture painted, maybe smaller than the photo
  std::array<float, 3> at(int x, int y) const;

 private:
  struct Level {
    int width, height;
    std::vector<std::array<float, 3>> light;
  };
  std::array<float, 3> sample(const Level& level, double u, double v) const;  // u, v in repeats, v upwards
  Homography to_mm_;
  double per_mm_u_, per_mm_v_, scale_x_, scale_y_;
  std::vector<Level> levels_;
};

}  // namespace tackcloth::picture
