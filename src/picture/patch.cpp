#include "picture/patch.h"

#include <algorithm>
#include <cmath>

#include "picture/srgb_table.h"

namespace tackcloth::picture {

using shape::Point;

Patch read_patch(const Image& photo, const std::vector<Point>& outline) {
  const auto& light = decode_table();
  Patch out;
  double x0 = 1e9, x1 = -1e9, y0 = 1e9, y1 = -1e9;
  for (const auto& p : outline) {
    x0 = std::min(x0, p.x);
    x1 = std::max(x1, p.x);
    y0 = std::min(y0, p.y);
    y1 = std::max(y1, p.y);
  }
  Eigen::Vector3d square = Eigen::Vector3d::Zero();
  int high = 0;
  for (int y = std::max(0, static_cast<int>(y0)); y < std::min<double>(photo.height, y1); ++y)
    for (int x = std::max(0, static_cast<int>(x0)); x < std::min<double>(photo.width, x1); ++x) {
      bool inside = true;
      for (std::size_t i = 0; i < outline.size() && inside; ++i) {
        const Point a = outline[i], b = outline[(i + 1) % outline.size()];
        inside = (b.x - a.x) * (y + 0.5 - a.y) - (b.y - a.y) * (x + 0.5 - a.x) >= 0;
      }
      if (!inside) continue;
      const std::uint8_t* p = photo.at(x, y);
      const Eigen::Vector3d v(light[p[0]], light[p[1]], light[p[2]]);
      out.mean += v;
      square += v.cwiseProduct(v);
      high += std::max({p[0], p[1], p[2]}) >= 254;
      ++out.pixels;
    }
  if (out.pixels == 0) return out;
  out.mean /= out.pixels;
  square /= out.pixels;
  out.spread =
      std::sqrt(std::max(0.0, (square - out.mean.cwiseProduct(out.mean)).sum() / 3)) / (out.mean.mean() + 0.02);
  out.clipped = high * 20 > out.pixels;
  return out;
}

}  // namespace tackcloth::picture
