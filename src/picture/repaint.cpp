#include <algorithm>
#include <cmath>
#include <optional>
#include <thread>

#include "picture/fabric.h"
#include "picture/recolor.h"
#include "picture/split.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

using Rgb = std::array<float, 3>;
constexpr std::uint8_t kInside = 250, kOutside = 5;

// Everything that does not change from pixel to pixel.
struct Brush {
  Brush(const Image& i, const Mask& m, const Zone& z, const Wanted& want)
      : image(i), mask(m), zone(z), wanted(want), split(z), light(decode_table()), code(encode_table()) {
    const color::LinearRgb rgb = color::linear_rgb_from_lab(want.to);
    to = {static_cast<float>(rgb.r), static_cast<float>(rgb.g), static_cast<float>(rgb.b)};
    if (want.surface == Surface::cloth && want.cloth) weave.emplace(*want.cloth, i.width, i.height);
    for (std::size_t c = 0; c < 3; ++c) gain[c] = static_cast<float>(want.gain[c]);
  }

  Rgb linear(int x, int y) const {
    const std::uint8_t* p = image.at(x, y);
    return {light[p[0]], light[p[1]], light[p[2]]};
  }

  const Image& image;
  const Mask& mask;
  const Zone& zone;
  const Wanted& wanted;
  Splitter split;
  const std::array<float, 256>& light;
  const std::array<std::uint8_t, kEncodeSteps + 1>& code;
  Rgb to{}, gain{};
  std::optional<Weave> weave;
};

// The grid along one row of the picture: two rows of cells mixed.
struct GridRow {
  GridRow(const Brush& brush) : b(brush), mixed(static_cast<std::size_t>(brush.zone.grid_width)) {}

  void go_to(int y) {
    const float at = std::clamp(
        (static_cast<float>(y) + 0.5f) * static_cast<float>(b.zone.grid_height) / static_cast<float>(b.image.height) -
            0.5f,
        0.0f, static_cast<float>(b.zone.grid_height - 1));
    const int y0 = static_cast<int>(at), y1 = std::min(y0 + 1, b.zone.grid_height - 1);
    const float t = at - static_cast<float>(y0);
    const Zone::Cell* top = &b.zone.grid[static_cast<std::size_t>(y0) * b.zone.grid_width];
    const Zone::Cell* low = &b.zone.grid[static_cast<std::size_t>(y1) * b.zone.grid_width];
    for (std::size_t x = 0; x < mixed.size(); ++x) mixed[x] = mix(top[x], low[x], t);
  }
  static Zone::Cell mix(const Zone::Cell& p, const Zone::Cell& q, float t) {
    Zone::Cell out;
    for (std::size_t c = 0; c < 3; ++c) out.light[c] = p.light[c] + t * (q.light[c] - p.light[c]);
    out.ceiling = p.ceiling + t * (q.ceiling - p.ceiling);
    out.slope = p.slope + t * (q.slope - p.slope);
    out.offset = p.offset + t * (q.offset - p.offset);
    return out;
  }
  Zone::Cell at(int x) const {
    const float p = std::clamp(
        (static_cast<float>(x) + 0.5f) * static_cast<float>(b.zone.grid_width) / static_cast<float>(b.image.width) -
            0.5f,
        0.0f, static_cast<float>(b.zone.grid_width - 1));
    const int x0 = static_cast<int>(p), x1 = std::min(x0 + 1, b.zone.grid_width - 1);
    return mix(mixed[static_cast<std::size_t>(x0)], mixed[static_cast<std::size_t>(x1)], p - static_cast<float>(x0));
  }

  const Brush& b;
  std::vector<Zone::Cell> mixed;
};

Rgb painted(const Brush& b, const Rgb& seen, const Zone::Cell& cell, int x, int y) {
  Rgb j, out, veil;
  for (std::size_t c = 0; c < 3; ++c) {
    const float left = without_veil(seen[c], b.zone.veil[c]);
    veil[c] = seen[c] - left;
    j[c] = left / cell.light[c];
  }
  if (b.wanted.surface == Surface::clear) {
    const Split s = b.split.paint(j, cell.ceiling);
    for (std::size_t c = 0; c < 3; ++c) out[c] = cell.light[c] * ((j[c] - s.gloss) * b.gain[c] + s.gloss) + veil[c];
    return out;
  }
  const Split s = b.zone.clear_wood ? b.split.wood(j, cell) : b.split.paint(j, cell.ceiling);
  if (b.weave) {
    const Rgb thread = b.weave->at(x, y);
    for (std::size_t c = 0; c < 3; ++c) out[c] = cell.light[c] * s.shading[c] * thread[c];
    return out;
  }
  if (b.wanted.surface == Surface::metal) {
    for (std::size_t c = 0; c < 3; ++c) out[c] = cell.light[c] * b.to[c] * (s.shading[c] + s.gloss);
    return out;
  }
  for (std::size_t c = 0; c < 3; ++c) out[c] = cell.light[c] * (s.shading[c] * b.to[c] + s.gloss) + veil[c];
  return out;
}

// At the rim a pixel is part zone, part neighbour. What the zone itself looks like there is taken from whole pixels of
// the zone next to it, else by taking the neighbour's share away, else the pixel as it is (a feathered mask).
Rgb zone_at_rim(const Brush& b, int x, int y, float cover, const Rgb& seen) {
  Rgb in{}, out{};
  float in_weight = 0, out_weight = 0;
  for (int dy = -2; dy <= 2; ++dy)
    for (int dx = -2; dx <= 2; ++dx) {
      const int px = x + dx, py = y + dy;
      if (px < 0 || py < 0 || px >= b.image.width || py >= b.image.height) continue;
      const std::uint8_t m = b.mask.at(px, py);
      if (m < kInside && m > kOutside) continue;
      const float near = 1.0f / static_cast<float>(dx * dx + dy * dy + 1);
      const Rgb v = b.linear(px, py);
      for (std::size_t c = 0; c < 3; ++c) (m >= kInside ? in : out)[c] += near * v[c];
      (m >= kInside ? in_weight : out_weight) += near;
    }
  if (in_weight > 0) {
    for (auto& v : in) v /= in_weight;
    return in;
  }
  if (out_weight > 0 && cover > 0.2f) {
    for (std::size_t c = 0; c < 3; ++c) in[c] = std::max(0.0f, (seen[c] - (1 - cover) * out[c] / out_weight) / cover);
    return in;
  }
  return seen;
}

void rows(const Brush& b, int from, int to, Image& out) {
  GridRow grid(b);
  for (int y = from; y < to; ++y) {
    std::copy(b.image.at(0, y), b.image.at(0, y) + 3 * static_cast<std::ptrdiff_t>(b.image.width), out.at(0, y));
    const std::uint8_t* cover = &b.mask.cover[static_cast<std::size_t>(y) * b.mask.width];
    if (std::all_of(cover, cover + b.mask.width, [](std::uint8_t m) { return m == 0; })) continue;
    grid.go_to(y);
    for (int x = 0; x < b.image.width; ++x) {
      if (cover[x] == 0) continue;
      const Rgb seen = b.linear(x, y);
      const Zone::Cell cell = grid.at(x);
      std::uint8_t* p = out.at(x, y);
      if (cover[x] >= kInside) {
        const Rgb v = painted(b, seen, cell, x, y);
        for (std::size_t c = 0; c < 3; ++c) p[c] = encode(b.code, v[c]);
        continue;
      }
      const float m = static_cast<float>(cover[x]) / 255;
      const Rgb zone = zone_at_rim(b, x, y, m, seen);
      const Rgb v = painted(b, zone, cell, x, y);
      for (std::size_t c = 0; c < 3; ++c) p[c] = encode(b.code, seen[c] + m * (v[c] - zone[c]));
    }
  }
}

}  // namespace

Image repaint(const Image& image, const Mask& mask, const Zone& zone, const Wanted& wanted, int threads) {
  Image out(image.width, image.height);
  const Brush brush(image, mask, zone, wanted);
  const int count = std::clamp(threads, 1, std::max(1, image.height / 16));
  std::vector<std::jthread> others;
  for (int t = 1; t < count; ++t)
    others.emplace_back([&, t] { rows(brush, image.height * t / count, image.height * (t + 1) / count, out); });
  rows(brush, 0, image.height / count, out);
  others.clear();
  return out;
}

Result<Image> recolor(const Image& image, const Mask& mask, const Wanted& wanted, const Options& options) {
  return separate(image, mask, options).map([&](const Zone& zone) {
    return repaint(image, mask, zone, wanted, options.threads);
  });
}

Image hue_swap(const Image& image, const Mask& mask, color::Lab to) {
  Image out = image;
  const auto& light = decode_table();
  const auto& code = encode_table();
  for (std::size_t i = 0; i < mask.cover.size(); ++i) {
    if (mask.cover[i] == 0) continue;
    const double m = mask.cover[i] / 255.0;
    const color::LinearRgb seen{light[image.rgb[3 * i]], light[image.rgb[3 * i + 1]], light[image.rgb[3 * i + 2]]};
    color::Lab lab = color::lab_from_linear_rgb(seen);
    lab.a = to.a;
    lab.b = to.b;
    const color::LinearRgb v = color::linear_rgb_from_lab(lab);
    out.rgb[3 * i] = encode(code, static_cast<float>(seen.r + m * (v.r - seen.r)));
    out.rgb[3 * i + 1] = encode(code, static_cast<float>(seen.g + m * (v.g - seen.g)));
    out.rgb[3 * i + 2] = encode(code, static_cast<float>(seen.b + m * (v.b - seen.b)));
  }
  return out;
}

}  // namespace tackcloth::picture
