// One number a pixel, and means over square windows of it.
#pragma once

#include <vector>

namespace tackcloth::picture {

struct Plane {
  int width = 0, height = 0;
  std::vector<float> v;
};

// Mean over the (2 radius + 1)^2 window, cut at the border (running sums: the radius costs nothing).
Plane blur(const Plane& plane, int radius);

}  // namespace tackcloth::picture
