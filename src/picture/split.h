// How one pixel in linear light is split: the formulas of Zone (recolor.h), shared by the estimate and the full
// picture.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "picture/recolor.h"

namespace tackcloth::picture {

constexpr std::uint8_t kInside = 250;  // cover, of 255: from here on a pixel is wholly of the zone

struct Split {
  std::array<float, 3> shading;  // per channel; times an albedo is body
  float gloss;
};

inline float dot(const std::array<float, 3>& a, const std::array<float, 3>& b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

// Some of the light always stays the body's: in the deepest gap nothing is mirrored.
inline float without_veil(float seen, float veil) { return std::max(seen - veil, 0.2f * seen); }

struct Splitter {
  explicit Splitter(const Zone& zone) : z(zone) {
    a = {static_cast<float>(zone.albedo_now.r), static_cast<float>(zone.albedo_now.g),
         static_cast<float>(zone.albedo_now.b)};
    const float square = dot(a, a);
    for (std::size_t c = 0; c < 3; ++c) {
      along[c] = a[c] / square;
      own[c] = a[c] / (a[c] * a[c] + z.shrink * z.shrink);
      shared[c] = z.shrink * z.shrink / (a[c] * a[c] + z.shrink * z.shrink);
    }
    mean = (a[0] + a[1] + a[2]) / 3;
  }

  Split paint(const std::array<float, 3>& j, float ceiling) const {
    float s = dot(z.to_shading, j), g = dot(z.to_gloss, j);
    const float straight = dot(along, j);
    if (g < 0) {
      g = 0;
      s = straight;
    }
    s = std::max(s, 0.0f);
    const float over = std::max(0.0f, straight - ceiling);
    g = z.gloss_by_color * g + (1 - z.gloss_by_color) * over * mean;
    s = z.gloss_by_color * s + (1 - z.gloss_by_color) * (straight - over);
    Split out;
    for (std::size_t c = 0; c < 3; ++c) out.shading[c] = std::max(0.0f, (j[c] - g) * own[c] + shared[c] * s);
    out.gloss = g;
    return out;
  }

  Split wood(const std::array<float, 3>& j, const Zone::Cell& cell) const {
    float signal = -z.log_albedo;
    for (std::size_t c = 0; c < 3; ++c) signal += z.log_weights[c] * std::log(std::max(j[c], 1e-4f));
    const float raw = std::exp(cell.slope * signal + cell.offset);
    const float s = std::min(raw, cell.ceiling);
    return {{s, s, s}, 0};
  }

  const Zone& z;
  std::array<float, 3> a{}, along{}, own{}, shared{};
  float mean = 0;
};

}  // namespace tackcloth::picture
