#include "picture/pick.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <queue>

#include "color/space.h"
#include "picture/plane.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

using shape::Point;
using Rgb = std::array<float, 3>;

constexpr int kWorkSide = 640;
// Lightness counts less than colour: a shadow is not an edge of the zone. Chosen on the tuning scenes.
constexpr float kLightness = 0.5f, kColour = 1.6f;
constexpr float kCalm = 0.015f;  // of a step that is grain, noise or form
constexpr float kStep = 0.002f;  // of walking over nothing at all
constexpr float kAlike = 0.06f;  // a border pixel this like a tap in the zone may be zone
constexpr std::size_t kBorderStep = 61;
constexpr float kUnlike = 0.3f;  // of a pixel unlike every tap of its kind

struct Work {
  int width = 0, height = 0;
  std::vector<Rgb> light, look;  // linear; and lightness with colour freed from it
};

Work prepare(const Image& image) {
  Work w{image.width, image.height, std::vector<Rgb>(image.pixels()), std::vector<Rgb>(image.pixels())};
  const auto& table = decode_table();
  for (std::size_t i = 0; i < w.light.size(); ++i) {
    w.light[i] = {table[image.rgb[3 * i]], table[image.rgb[3 * i + 1]], table[image.rgb[3 * i + 2]]};
    const auto lab = color::oklab_from_linear_rgb({w.light[i][0], w.light[i][1], w.light[i][2]});
    // Oklab is a cube root: all three shrink alike in a shadow, their ratios stay. 0.15 keeps noise in the dark down.
    const double free = 1 / (lab.l + 0.15);
    w.look[i] = {kLightness * static_cast<float>(lab.l), kColour * static_cast<float>(lab.a * free),
                 kColour * static_cast<float>(lab.b * free)};
  }
  return w;
}

float apart(const Rgb& a, const Rgb& b) {
  return std::sqrt((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1]) + (a[2] - b[2]) * (a[2] - b[2]));
}

Rgb look_around(const Work& w, std::size_t at) {
  const int x = static_cast<int>(at % static_cast<std::size_t>(w.width)),
            y = static_cast<int>(at / static_cast<std::size_t>(w.width));
  Rgb sum{};
  float n = 0;
  for (int py = std::max(0, y - 1); py <= std::min(w.height - 1, y + 1); ++py)
    for (int px = std::max(0, x - 1); px <= std::min(w.width - 1, x + 1); ++px, ++n)
      for (std::size_t c = 0; c < 3; ++c) sum[c] += w.look[static_cast<std::size_t>(py) * w.width + px][c];
  for (auto& v : sum) v /= n;
  return sum;
}

// Least sum of steps from any seed to every pixel (Dijkstra).
std::vector<float> walk(const Work& w, const std::vector<std::size_t>& seeds, const std::vector<Rgb>& looks) {
  std::vector<float> far(w.light.size(), 1e30f), unlike(w.light.size(), looks.empty() ? 0.0f : 1e30f);
  for (std::size_t i = 0; i < unlike.size(); ++i)
    for (const auto& look : looks) unlike[i] = std::min(unlike[i], apart(look, w.look[i]));
  using Entry = std::pair<float, std::size_t>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
  for (const auto s : seeds) {
    far[s] = 0;
    queue.push({0.0f, s});
  }
  const auto width = static_cast<std::size_t>(w.width);
  while (!queue.empty()) {
    const auto [d, at] = queue.top();
    queue.pop();
    if (d > far[at]) continue;
    const std::size_t x = at % width, y = at / width;
    const auto go = [&](std::size_t to, float length) {
      const float cost =
          d + std::max(0.0f, apart(w.look[at], w.look[to]) - kCalm) + length * (kStep + kUnlike * unlike[to]);
      if (cost < far[to]) {
        far[to] = cost;
        queue.push({cost, to});
      }
    };
    const bool left = x > 0, right = x + 1 < width, up = y > 0, down = y + 1 < static_cast<std::size_t>(w.height);
    if (left) go(at - 1, 1);
    if (right) go(at + 1, 1);
    if (up) go(at - width, 1);
    if (down) go(at + width, 1);
    if (up && left) go(at - width - 1, 1.41421356f);
    if (up && right) go(at - width + 1, 1.41421356f);
    if (down && left) go(at + width - 1, 1.41421356f);
    if (down && right) go(at + width + 1, 1.41421356f);
  }
  return far;
}

// Mean light of one side near each pixel.
struct Side {
  std::array<Plane, 3> light;
  Plane share;
};

Side side(const Work& w, const std::vector<float>& member, int radius) {
  Side out;
  out.share = blur({w.width, w.height, member}, radius);
  for (std::size_t c = 0; c < 3; ++c) {
    Plane p{w.width, w.height, member};
    for (std::size_t i = 0; i < p.v.size(); ++i) p.v[i] *= w.light[i][c];
    out.light[c] = blur(p, radius);
    for (std::size_t i = 0; i < p.v.size(); ++i) out.light[c].v[i] /= std::max(out.share.v[i], 1e-6f);
  }
  return out;
}

// The pixels of a side that are not on its rim.
std::vector<float> core(const std::vector<float>& member, int width, int height) {
  const Plane near = blur({width, height, member}, 1);
  std::vector<float> out = member;
  for (std::size_t i = 0; i < out.size(); ++i)
    if (near.v[i] < 0.999f) out[i] = 0;
  return out;
}

Mask settle_rim(const Image& image, const Work& w, const std::vector<float>& zone) {
  std::vector<float> rest(zone.size());
  for (std::size_t i = 0; i < zone.size(); ++i) rest[i] = 1 - zone[i];
  const Side in = side(w, core(zone, w.width, w.height), 3), out = side(w, core(rest, w.width, w.height), 3);
  const Plane band = blur({w.width, w.height, zone}, 1);
  const auto& table = decode_table();
  Mask mask(image.width, image.height);
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      const auto sx = static_cast<std::size_t>(static_cast<long long>(x) * w.width / image.width);
      const auto sy = static_cast<std::size_t>(static_cast<long long>(y) * w.height / image.height);
      const std::size_t s = sy * static_cast<std::size_t>(w.width) + sx;
      float cover = zone[s];
      if (band.v[s] > 0.001f && band.v[s] < 0.999f && in.share.v[s] > 0.01f && out.share.v[s] > 0.01f) {
        // Where between the two sides' colours does this pixel lie?
        const std::uint8_t* p = image.at(x, y);
        float along = 0, square = 0;
        for (std::size_t c = 0; c < 3; ++c) {
          const float step = in.light[c].v[s] - out.light[c].v[s];
          along += (table[p[c]] - out.light[c].v[s]) * step;
          square += step * step;
        }
        const float size = in.light[0].v[s] + in.light[1].v[s] + in.light[2].v[s] + out.light[0].v[s] +
                           out.light[1].v[s] + out.light[2].v[s];
        if (square > 0.0025f * size * size) cover = std::clamp(along / square, 0.0f, 1.0f);
      }
      mask.at(x, y) = static_cast<std::uint8_t>(255 * cover + 0.5f);
    }
  return mask;
}

}  // namespace

Result<Mask> pick_zone(const Image& image, const Taps& taps) {
  if (taps.on.empty())
    return tl::unexpected(Problem{"", 0, 0, "no tap says where the zone is", "at least one tap in the zone", "tap it"});
  for (const auto* list : {&taps.on, &taps.off})
    for (const auto& p : *list)
      if (!(p.x >= 0 && p.y >= 0 && p.x < image.width && p.y < image.height)) {
        char text[96];
        std::snprintf(text, sizeof text, "the tap %.6g,%.6g is outside of the photo", p.x, p.y);
        return tl::unexpected(Problem{
            "", 0, 0, text, "0,0 to " + std::to_string(image.width - 1) + "," + std::to_string(image.height - 1),
            "count in pixels of the upright photo, from its top left"});
      }
  const Work w = prepare(shrink(image, kWorkSide));
  const auto seeds = [&](const std::vector<Point>& points) {
    std::vector<std::size_t> out;
    for (const auto& p : points) {
      const int x = std::min(static_cast<int>(p.x * w.width / image.width), w.width - 1);
      const int y = std::min(static_cast<int>(p.y * w.height / image.height), w.height - 1);
      out.push_back(static_cast<std::size_t>(y) * w.width + x);
    }
    return out;
  };
  const auto looks = [&](const std::vector<std::size_t>& at) {
    std::vector<Rgb> out;
    for (const auto s : at) out.push_back(look_around(w, s));
    return out;
  };
  const std::vector<std::size_t> on = seeds(taps.on);
  std::vector<std::size_t> off = seeds(taps.off);
  const std::vector<Rgb> on_looks = looks(on);
  std::vector<Rgb> off_looks = looks(off);
  // The photo's border is not the piece, but where it looks like it.
  std::size_t n = 0;
  const auto border = [&](int x, int y) {
    const std::size_t at = static_cast<std::size_t>(y) * w.width + x;
    const Rgb look = look_around(w, at);
    if (std::any_of(on_looks.begin(), on_looks.end(), [&](const Rgb& l) { return apart(l, look) < kAlike; })) return;
    off.push_back(at);
    if (n++ % kBorderStep == 0) off_looks.push_back(look);
  };
  for (int x = 0; x < w.width; ++x) {
    border(x, 0);
    border(x, w.height - 1);
  }
  for (int y = 1; y + 1 < w.height; ++y) {
    border(0, y);
    border(w.width - 1, y);
  }
  const std::vector<float> to_on = walk(w, on, on_looks), to_off = walk(w, off, off_looks);
  std::vector<float> zone(to_on.size());
  for (std::size_t i = 0; i < zone.size(); ++i) zone[i] = to_on[i] < to_off[i] ? 1.0f : 0.0f;
  return settle_rim(image, w, zone);
}

void brush(Mask& mask, const std::vector<Point>& stroke, double radius_px, bool add) {
  const double reach = radius_px + 1;
  const auto dab = [&](Point a, Point b) {
    const int x0 = std::max(0, static_cast<int>(std::min(a.x, b.x) - reach)),
              y0 = std::max(0, static_cast<int>(std::min(a.y, b.y) - reach));
    const int x1 = std::min(mask.width - 1, static_cast<int>(std::max(a.x, b.x) + reach));
    const int y1 = std::min(mask.height - 1, static_cast<int>(std::max(a.y, b.y) + reach));
    const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
    for (int y = y0; y <= y1; ++y)
      for (int x = x0; x <= x1; ++x) {
        const double px = x + 0.5 - a.x, py = y + 0.5 - a.y;
        const double t = square > 0 ? std::clamp((px * dx + py * dy) / square, 0.0, 1.0) : 0;
        const double cover = std::clamp(radius_px + 0.5 - std::hypot(px - t * dx, py - t * dy), 0.0, 1.0);
        const auto v = static_cast<std::uint8_t>(std::lround(255 * cover));
        std::uint8_t& m = mask.at(x, y);
        m = add ? std::max(m, v) : std::min(m, static_cast<std::uint8_t>(255 - v));
      }
  };
  if (stroke.size() == 1) dab(stroke[0], stroke[0]);
  for (std::size_t i = 0; i + 1 < stroke.size(); ++i) dab(stroke[i], stroke[i + 1]);
}

double overlap(const Mask& a, const Mask& b) {
  if (a.width != b.width || a.height != b.height) return 0;
  double both = 0, either = 0;
  for (std::size_t i = 0; i < a.cover.size(); ++i) {
    both += std::min(a.cover[i], b.cover[i]);
    either += std::max(a.cover[i], b.cover[i]);
  }
  return either > 0 ? both / either : 1;
}

}  // namespace tackcloth::picture
