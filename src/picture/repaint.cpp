#include <algorithm>
#include <cmath>
#include <optional>
#include <thread>

#include "picture/block.h"
#include "picture/fabric.h"
#include "picture/recolor.h"
#include "picture/split.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

using Rgb = std::array<float, 3>;
constexpr std::uint8_t kOutside = 5;

// Everything that does not change from pixel to pixel.
struct Brush {
  Brush(const Image& i, const Mask& m, const Zone& z, const Wanted& want)
      : image(i), mask(m), zone(z), wanted(want), split(z), light(decode_table()), code(encode_table()) {
    const color::LinearRgb rgb = color::linear_rgb_from_lab(want.to);
    to = {static_cast<float>(rgb.r), static_cast<float>(rgb.g), static_cast<float>(rgb.b)};
    if (want.surface == Surface::cloth && want.cloth) weave.emplace(*want.cloth, i.width, i.height);
    for (std::size_t c = 0; c < 3; ++c) gain[c] = static_cast<float>(want.gain[c]);
    for (int x = 0; x < i.width; ++x) columns.push_back(along(x, i.width, z.grid_width));
    by_blocks = want.surface == Surface::paint && !weave;
    if (by_blocks && z.clear_wood) {
      for (const auto& cell : z.grid) {
        float sum = 0;
        for (std::size_t c = 0; c < 3; ++c) sum += z.log_weights[c] * std::log(cell.light[c]);
        log_light.push_back(sum);
      }
      for (std::size_t c = 0; c < 3; ++c)
        for (std::size_t v = 0; v < 256; ++v) log_seen[c][v] = z.log_weights[c] * std::log(light[v]);
    }
  }

  // Between which two of the grid's cells a pixel is, and how far.
  struct Between {
    int first, second;
    float t;
  };
  static Between along(int at, int pixels, int cells) {
    const float p =
        std::clamp((static_cast<float>(at) + 0.5f) * static_cast<float>(cells) / static_cast<float>(pixels) - 0.5f,
                   0.0f, static_cast<float>(cells - 1));
    const int first = static_cast<int>(p);
    return {first, std::min(first + 1, cells - 1), p - static_cast<float>(first)};
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
  std::vector<Between> columns;
  bool by_blocks = false;
  // Clear wood: of each cell, and of each code, the weighted logarithms that make up the signal (split.h).
  std::vector<float> log_light;
  std::array<std::array<float, 256>, 3> log_seen{};
};

// The grid along one row of the picture: two rows of cells mixed, each term of a cell on its own.
struct GridRow {
  GridRow(const Brush& brush) : b(brush) {
    for (auto& term : terms) term.resize(static_cast<std::size_t>(brush.zone.grid_width));
  }

  enum Term { light, ceiling = 3, slope, offset, log_light, count };

  void go_to(int y) {
    const Brush::Between at = Brush::along(y, b.image.height, b.zone.grid_height);
    const auto w = static_cast<std::size_t>(b.zone.grid_width);
    const std::size_t top = static_cast<std::size_t>(at.first) * w, low = static_cast<std::size_t>(at.second) * w;
    const auto mix = [&](int term, float p, float q, std::size_t x) {
      terms[static_cast<std::size_t>(term)][x] = p + at.t * (q - p);
    };
    for (std::size_t x = 0; x < w; ++x) {
      const Zone::Cell &p = b.zone.grid[top + x], &q = b.zone.grid[low + x];
      for (int c = 0; c < 3; ++c) mix(c, p.light[static_cast<std::size_t>(c)], q.light[static_cast<std::size_t>(c)], x);
      mix(ceiling, p.ceiling, q.ceiling, x);
      mix(slope, p.slope, q.slope, x);
      mix(offset, p.offset, q.offset, x);
      if (!b.log_light.empty()) mix(log_light, b.log_light[top + x], b.log_light[low + x], x);
    }
  }
  float at(int term, int x) const {
    const Brush::Between& c = b.columns[static_cast<std::size_t>(x)];
    const float* v = terms[static_cast<std::size_t>(term)].data();
    return v[c.first] + c.t * (v[c.second] - v[c.first]);
  }
  Zone::Cell at(int x) const { return {{at(0, x), at(1, x), at(2, x)}, at(ceiling, x), at(slope, x), at(offset, x)}; }

  const Brush& b;
  std::array<std::vector<float>, count> terms;
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

// Whole pixels of the zone from x0 on, at most a block of them.
void paint_block(const Brush& b, const GridRow& grid, Block& block, int y, int x0, int x1, Image& out) {
  const bool wood = b.zone.clear_wood;
  const std::uint8_t* p = b.image.at(x0, y);
  const auto fill = [&](int term, Block::Row& row) {
    const float* v = grid.terms[static_cast<std::size_t>(term)].data();
    const Brush::Between* c = &b.columns[static_cast<std::size_t>(x0)];
    for (int k = 0; k < x1 - x0; ++k, ++c)
      row[static_cast<std::size_t>(k)] = v[c->first] + c->t * (v[c->second] - v[c->first]);
  };
  for (int c = 0; c < 3; ++c) fill(c, block.light[static_cast<std::size_t>(c)]);
  fill(GridRow::ceiling, block.ceiling);
  if (wood) {
    fill(GridRow::slope, block.slope);
    fill(GridRow::offset, block.offset);
    fill(GridRow::log_light, block.log_light);
    for (std::size_t k = 0; k < static_cast<std::size_t>(x1 - x0); ++k)
      block.log_seen[k] = b.log_seen[0][p[3 * k]] + b.log_seen[1][p[3 * k + 1]] + b.log_seen[2][p[3 * k + 2]];
    repaint_wood(b.split, b.to, block);
  } else {
    for (std::size_t k = 0; k < static_cast<std::size_t>(x1 - x0); ++k)
      for (std::size_t c = 0; c < 3; ++c) block.seen[c][k] = b.light[p[3 * k + c]];
    repaint_paint(b.split, b.to, block);
  }
  std::uint8_t* to = out.at(x0, y);
  for (std::size_t k = 0; k < static_cast<std::size_t>(x1 - x0); ++k) {
    // A channel without light has no logarithm: as split.h says it, one by one.
    if (wood && (p[3 * k] == 0 || p[3 * k + 1] == 0 || p[3 * k + 2] == 0)) {
      const int x = x0 + static_cast<int>(k);
      const Rgb v = painted(b, b.linear(x, y), grid.at(x), x, y);
      for (std::size_t c = 0; c < 3; ++c) to[3 * k + c] = encode(b.code, v[c]);
      continue;
    }
    for (std::size_t c = 0; c < 3; ++c) to[3 * k + c] = encode(b.code, block.out[c][k]);
  }
}

void paint_pixel(const Brush& b, const GridRow& grid, int x, int y, std::uint8_t cover, Image& out) {
  const Rgb seen = b.linear(x, y);
  const Zone::Cell cell = grid.at(x);
  std::uint8_t* p = out.at(x, y);
  if (cover >= kInside) {
    const Rgb v = painted(b, seen, cell, x, y);
    for (std::size_t c = 0; c < 3; ++c) p[c] = encode(b.code, v[c]);
    return;
  }
  const float m = static_cast<float>(cover) / 255;
  const Rgb zone = zone_at_rim(b, x, y, m, seen);
  const Rgb v = painted(b, zone, cell, x, y);
  for (std::size_t c = 0; c < 3; ++c) p[c] = encode(b.code, seen[c] + m * (v[c] - zone[c]));
}

// `out` begins as the photo.
void rows(const Brush& b, int from, int to, Image& out) {
  GridRow grid(b);
  Block block;
  for (auto& row : block.light) row.fill(1);  // what is past the end of a run is worked out too, and not used
  for (int y = from; y < to; ++y) {
    const std::uint8_t* cover = &b.mask.cover[static_cast<std::size_t>(y) * b.mask.width];
    if (std::all_of(cover, cover + b.mask.width, [](std::uint8_t m) { return m == 0; })) continue;
    grid.go_to(y);
    for (int x = 0; x < b.image.width;) {
      if (cover[x] == 0) {
        ++x;
      } else if (b.by_blocks && cover[x] >= kInside) {
        const int last = std::min(x + Block::kPixels, b.image.width);
        int end = x + 1;
        while (end < last && cover[end] >= kInside) ++end;
        paint_block(b, grid, block, y, x, end, out);
        x = end;
      } else {
        paint_pixel(b, grid, x, y, cover[x], out);
        ++x;
      }
    }
  }
}

}  // namespace

Image repaint(const Image& image, const Mask& mask, const Zone& zone, const Wanted& wanted, int threads) {
  Image out = image;
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
