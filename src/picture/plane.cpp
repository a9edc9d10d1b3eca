#include "picture/plane.h"

#include <algorithm>
#include <cstddef>

namespace tackcloth::picture {

Plane blur(const Plane& plane, int radius) {
  const int w = plane.width, h = plane.height;
  Plane across{w, h, std::vector<float>(plane.v.size())}, out = across;
  for (int y = 0; y < h; ++y) {
    const float* in = &plane.v[static_cast<std::size_t>(y) * w];
    float* to = &across.v[static_cast<std::size_t>(y) * w];
    double sum = 0;
    for (int x = 0; x < std::min(radius, w); ++x) sum += in[x];
    for (int x = 0; x < w; ++x) {
      if (x + radius < w) sum += in[x + radius];
      if (x - radius - 1 >= 0) sum -= in[x - radius - 1];
      to[x] = static_cast<float>(sum / (std::min(x + radius, w - 1) - std::max(x - radius, 0) + 1));
    }
  }
  std::vector<double> sum(static_cast<std::size_t>(w), 0.0);
  const auto add = [&](int y, double sign) {
    const float* in = &across.v[static_cast<std::size_t>(y) * w];
    for (int x = 0; x < w; ++x) sum[static_cast<std::size_t>(x)] += sign * in[x];
  };
  for (int y = 0; y < std::min(radius, h); ++y) add(y, 1);
  for (int y = 0; y < h; ++y) {
    if (y + radius < h) add(y + radius, 1);
    if (y - radius - 1 >= 0) add(y - radius - 1, -1);
    const double n = std::min(y + radius, h - 1) - std::max(y - radius, 0) + 1;
    for (int x = 0; x < w; ++x)
      out.v[static_cast<std::size_t>(y) * w + x] = static_cast<float>(sum[static_cast<std::size_t>(x)] / n);
  }
  return out;
}

}  // namespace tackcloth::picture
