// Rendered rooms to lay a chart or a card into, and how a picture of it is taken.
#pragma once

#include <cstdlib>

#include "chart_scene.h"
#include "truth.h"

namespace tackcloth::picture {

inline const std::vector<Image>& clutter() {
  static const std::vector<Image> all = [] {
    std::vector<Image> out;
    for (const char* name : {"cabinet1_cream", "cabinet2_white", "cabinet3_navy", "drawers1_red", "drawers2_white",
                             "drawers3_sage", "chair2_cream", "chair3_teal", "cabinet1_pale_wood"})
      out.push_back(enlarged(picture_of(name), 640, 480));
    return out;
  }();
  return all;
}

// TACKCLOTH_WARPS=n takes n pictures of each kind instead of a few.
inline int shots(int few) {
  const char* text = std::getenv("TACKCLOTH_WARPS");
  return text ? std::max(1, std::atoi(text)) : few;
}
// And others, from TACKCLOTH_WARPS_FROM on: the limits were chosen on the few and on those from 100,000.
inline unsigned first(unsigned seed) {
  if (!std::getenv("TACKCLOTH_WARPS")) return seed;
  const char* from = std::getenv("TACKCLOTH_WARPS_FROM");
  return seed + (from ? static_cast<unsigned>(std::strtoul(from, nullptr, 10)) : 300000u);
}

inline Camera any_camera(Dice& dice, double blur, double noise) {
  Camera camera;
  const double warm = dice.between(-0.35, 0.35), strength = dice.between(0.35, 0.95), mix = dice.between(0, 0.12);
  const std::array<double, 3> gain{strength * std::exp(warm), strength, strength * std::exp(-warm)};
  for (std::size_t r = 0; r < 3; ++r)
    for (std::size_t c = 0; c < 3; ++c) camera.matrix[3 * r + c] = gain[r] * (r == c ? 1 - 2 * mix : mix);
  for (auto& v : camera.matrix) v /= std::max(1.0, *std::max_element(gain.begin(), gain.end()) / 0.95);
  camera.slope_x = dice.between(-0.3, 0.3);
  camera.slope_y = dice.between(-0.3, 0.3);
  camera.blur = dice.between(0, blur);
  camera.noise = dice.between(0, noise);
  return camera;
}

// The largest distance of a corner, in units of a thing that is `width` x `height` of them.
inline double off_by(const Corners& found, const Corners& is, double width, double height) {
  const double unit = std::min(std::hypot(is[1].x - is[0].x, is[1].y - is[0].y) / width,
                               std::hypot(is[3].x - is[0].x, is[3].y - is[0].y) / height);
  double most = 0;
  for (std::size_t n = 0; n < 4; ++n)
    most = std::max(most, std::hypot(found[n].x - is[n].x, found[n].y - is[n].y) / unit);
  return most;
}

}  // namespace tackcloth::picture
