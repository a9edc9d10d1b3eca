#include <algorithm>
#include <cmath>
#include <numeric>

#include "picture/grain.h"
#include "picture/plane.h"
#include "picture/recolor.h"
#include "picture/split.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

constexpr int kGridSide = 320;

using Rgb = std::array<float, 3>;

struct Small {
  int width = 0, height = 0;
  std::vector<Rgb> light;       // the shrunk photo, linear
  std::vector<std::size_t> in;  // pixels of the zone
};

float luminance(const Rgb& v) { return 0.2126f * v[0] + 0.7152f * v[1] + 0.0722f * v[2]; }  // IEC 61966-2-1

float quantile(std::vector<float> values, double q) {
  if (values.empty()) return 0;
  const auto at = static_cast<std::ptrdiff_t>(q * static_cast<double>(values.size() - 1) + 0.5);
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return values[static_cast<std::size_t>(at)];
}

// A clear coat of n = 1.5 throws back 4 % of whatever stands before it (Fresnel's equations at normal incidence), and a
// room has the colours of its things: a channel whose albedo is not well above that says little about the light.
constexpr float kVeil = 0.04f;

constexpr float kLevelSpread = 0.15f, kCastSpread = 0.15f, kCastChange = 0.03f;
constexpr float kDarkRoom = 0.3f, kDarkShare = 0.6f;
constexpr float kShrink = 0.02f;

// Share of what a channel shows that is the paint's own doing.
float trust(float albedo, float most) {
  const float own = albedo * albedo;
  return own / (own + 0.04f * most * most + kVeil * kVeil);
}

Rgb floats(const color::LinearRgb& v) {
  return {static_cast<float>(v.r), static_cast<float>(v.g), static_cast<float>(v.b)};
}

// An albedo no darker than the blackest paint: black oxide paints throw back about 3 %, so 0.5 % in one channel is
// already a very strong colour.
Rgb sound(Rgb a) {
  for (auto& v : a) v = std::clamp(v, 0.005f, 1.0f);
  return a;
}

// Colour of the light over the whole picture by the Minkowski mean of order 6 ("shades of grey", Finlayson and Trezzi
// 2004), luminance 1, and half way back to neutral: a phone has taken most of it out already.
Rgb picture_light(const Small& small) {
  std::array<double, 3> sum{};
  for (const auto& v : small.light)
    for (std::size_t c = 0; c < 3; ++c) {
      const double square = static_cast<double>(v[c]) * v[c];
      sum[c] += square * square * square;
    }
  Rgb light{};
  for (std::size_t c = 0; c < 3; ++c) light[c] = static_cast<float>(std::pow(std::max(sum[c], 1e-30), 1.0 / 6));
  const float y = luminance(light);
  for (auto& v : light) v = std::sqrt(v / y);
  const float y2 = luminance(light);
  for (auto& v : light) v /= y2;
  return light;
}

// Strength of the light in the picture when nothing in it is known: what surrounds the zone is taken to have, at its
// upper quartile, an albedo of 0.65 (a wall). Assumption, no source, chosen on the tuning scenes; docs/picture.md says
// what it costs.
float full_light(const Small& small, const Mask& cover) {
  std::vector<float> around;
  for (std::size_t i = 0; i < small.light.size(); ++i)
    if (cover.cover[i] == 0) around.push_back(luminance(small.light[i]));
  if (around.size() < small.light.size() / 20)  // the zone fills the picture
    for (const auto& v : small.light) around.push_back(luminance(v));
  return std::max(quantile(std::move(around), 0.75) / 0.65f, 1e-3f);
}

// A quantile of the zone's own brightness, by channel. The upper quarter is taken to be in full light.
Rgb part_of_zone(const Small& small, double q) {
  Rgb out{};
  for (std::size_t c = 0; c < 3; ++c) {
    std::vector<float> zone;
    for (const auto i : small.in) zone.push_back(small.light[i][c]);
    out[c] = quantile(std::move(zone), q);
  }
  return out;
}

Rgb guess_albedo(const Rgb& bright, float full, const Rgb& light) {
  Rgb a{};
  for (std::size_t c = 0; c < 3; ++c) a[c] = bright[c] / (full * light[c]);
  return a;
}

// How much of what a dark paint shows is the room mirrored in its surface: the likeliest split of the zone's bright and
// dark parts into albedo x light + veil. The light has about the strength (15 % either way) and the colour (15 %) of
// the picture's; the veil between none (matt, satin) and 4 % of the picture's mean (gloss). Returns the share of that
// mean. The spreads are assumptions, no source, and were chosen on the tuning scenes.
float likely_veil(const Small& small, const Rgb& a, float full, const Rgb& light, const Rgb& mean, Sheen sheen) {
  const float usual = sheen == Sheen::gloss ? kVeil : sheen == Sheen::unknown ? kVeil / 2 : 0;
  const float spread = sheen == Sheen::unknown ? kVeil / 2 : kVeil / 4;
  const Rgb parts[] = {part_of_zone(small, 0.75), part_of_zone(small, 0.25)};
  float best = 0, least = 1e30f;
  for (int step = 0; step <= 60; ++step) {
    const float veil = 0.001f * static_cast<float>(step);
    const float off = (veil - usual) / spread;
    float cost = off * off;
    Rgb cast[2];
    for (std::size_t n = 0; n < 2; ++n) {
      const Rgb& part = parts[n];
      for (std::size_t c = 0; c < 3; ++c)
        cast[n][c] = std::log(std::max(part[c] - veil * mean[c], 0.02f * part[c]) / (a[c] * full * light[c]));
      const float level = (cast[n][0] + cast[n][1] + cast[n][2]) / 3;
      if (n == 0) cost += level * level / (kLevelSpread * kLevelSpread);
      for (auto& v : cast[n]) v -= level;
    }
    for (std::size_t c = 0; c < 3; ++c) {
      cost += cast[0][c] * cast[0][c] / (kCastSpread * kCastSpread);
      const float change = cast[0][c] - cast[1][c];
      cost += change * change / (kCastChange * kCastChange);
    }
    if (cost < least) {
      least = cost;
      best = veil;
    }
  }
  return best;
}

// Colour of the light on the zone: what its middling bright pixels show against the albedo; a channel the paint hardly
// throws back says little and is drawn towards the picture's light. Luminance 1.
Rgb zone_light(const Small& small, const Rgb& a, const Rgb& prior) {
  std::vector<float> bright;
  for (const auto i : small.in) bright.push_back(luminance(small.light[i]));
  const float low = quantile(bright, 0.2), high = quantile(bright, 0.8);
  Rgb median{};
  for (std::size_t c = 0; c < 3; ++c) {
    std::vector<float> ratio;
    for (std::size_t n = 0; n < small.in.size(); ++n)
      if (bright[n] >= low && bright[n] <= high) ratio.push_back(small.light[small.in[n]][c] / a[c]);
    median[c] = quantile(std::move(ratio), 0.5);
  }
  const float most = std::max({a[0], a[1], a[2]});
  float level = 0, weight = 0;
  for (std::size_t c = 0; c < 3; ++c) {
    level += a[c] * median[c] / prior[c];
    weight += a[c];
  }
  level = std::max(level / weight, 1e-6f);
  Rgb light{};
  for (std::size_t c = 0; c < 3; ++c) {
    const float own = trust(a[c], most);
    light[c] = own * median[c] / level + (1 - own) * prior[c];
  }
  const float y = luminance(light);
  if (!(y > 1e-6f)) return prior;  // a zone without light tells nothing
  for (auto& v : light) v /= y;
  return light;
}

// The two shares of a pixel seen without noise: least squares on [a 1].
void set_projection(Zone& zone, const Rgb& a) {
  const float aa = dot(a, a), a1 = a[0] + a[1] + a[2];
  const float det = aa * 3 - a1 * a1;
  // Sine of the angle between the paint and grey: below 0.12 the colour tells nothing above the noise of 8 bits.
  const float sine = std::sqrt(std::max(0.0f, det / (aa * 3)));
  zone.gloss_by_color = std::clamp((sine - 0.12f) / 0.18f, 0.0f, 1.0f);
  if (zone.gloss_by_color > 0) {
    for (std::size_t c = 0; c < 3; ++c) {
      zone.to_shading[c] = (3 * a[c] - a1) / det;
      zone.to_gloss[c] = (aa - a1 * a[c]) / det;
    }
  }
}

// The colour of the light from place to place (two lamps, a coloured wall): the zone's own pixels against its albedo,
// averaged over a twelfth of the picture.
void set_local_light(Zone& zone, const Small& small, const Rgb& a, const Rgb& light) {
  const int radius = std::max(2, std::max(small.width, small.height) / 24);
  const float most = std::max({a[0], a[1], a[2]});
  std::vector<float> weight(small.light.size(), 0.0f);
  for (const auto i : small.in) weight[i] = 1;
  const Plane total = blur({small.width, small.height, weight}, radius);
  std::array<Plane, 3> sum;
  for (std::size_t c = 0; c < 3; ++c) {
    Plane p{small.width, small.height, std::vector<float>(small.light.size(), 0.0f)};
    for (const auto i : small.in) p.v[i] = small.light[i][c] / (a[c] * light[c]);
    sum[c] = blur(p, radius);
  }
  for (std::size_t i = 0; i < zone.grid.size(); ++i) {
    auto& cell = zone.grid[i];
    cell.light = light;
    if (total.v[i] < 1e-4f) continue;
    float mean = 0, weights = 0;
    for (std::size_t c = 0; c < 3; ++c) {
      mean += a[c] * sum[c].v[i];
      weights += a[c];
    }
    mean /= weights;
    if (!(mean > 1e-6f)) continue;
    for (std::size_t c = 0; c < 3; ++c) {
      cell.light[c] = light[c] * std::pow(std::clamp(sum[c].v[i] / mean, 0.5f, 2.0f), trust(a[c], most));
    }
    const float y = luminance(cell.light);
    for (auto& v : cell.light) v /= y;
  }
}

// Shading brighter than most of the zone is gloss. On a dark paint even a broad, dull highlight outshines the body, so
// less is believed to be the body's there: `dark` is the share of the surface in all that is thrown back.
void set_ceiling(Zone& zone, const Small& small, const Rgb& a) {
  const Splitter split(zone);
  std::vector<float> shading;
  for (const auto i : small.in) {
    Rgb j = small.light[i];
    for (std::size_t c = 0; c < 3; ++c) j[c] /= zone.grid[i].light[c];
    shading.push_back(dot(split.along, j));
  }
  const float dark = kVeil / (kVeil + luminance(a));
  const float ceiling = (1.25f - kDarkRoom * dark) * quantile(std::move(shading), 0.85 - kDarkShare * dark);
  for (auto& cell : zone.grid) cell.ceiling = ceiling;
}

}  // namespace

Result<Zone> separate(const Image& image, const Mask& mask, const Options& options) {
  if (image.width != mask.width || image.height != mask.height)
    return tl::unexpected(Problem{"", 0, 0,
                                  "the mask is " + std::to_string(mask.width) + " x " + std::to_string(mask.height) +
                                      " pixels, the photo " + std::to_string(image.width) + " x " +
                                      std::to_string(image.height),
                                  "a mask of the photo's own size, upright", "draw the mask on this photo"});
  const Image little = shrink(image, kGridSide, options.threads);
  const Mask cover = shrink(mask, kGridSide, options.threads);
  Small small{little.width, little.height, std::vector<Rgb>(little.pixels()), {}};
  const auto& table = decode_table();
  for (std::size_t i = 0; i < small.light.size(); ++i)
    small.light[i] = {table[little.rgb[3 * i]], table[little.rgb[3 * i + 1]], table[little.rgb[3 * i + 2]]};
  for (const std::uint8_t least : {kInside, std::uint8_t{128}, std::uint8_t{1}}) {
    if (small.in.size() >= 16) break;
    small.in.clear();
    for (std::size_t i = 0; i < small.light.size(); ++i)
      if (cover.cover[i] >= least) small.in.push_back(i);
  }
  if (small.in.empty())
    return tl::unexpected(Problem{"", 0, 0, "the mask has no white: there is no zone to paint",
                                  "white where the zone is, black elsewhere", "mark the zone first"});
  Zone zone;
  zone.clear_wood = options.present == Present::clear_wood;
  zone.grid_width = small.width;
  zone.grid_height = small.height;
  zone.grid.resize(small.light.size());
  const Rgb prior = picture_light(small);
  zone.light_guessed = !options.from;
  const float full = full_light(small, cover);
  const Rgb a = sound(options.from ? floats(color::linear_rgb_from_lab(*options.from))
                                   : guess_albedo(part_of_zone(small, 0.75), full, prior));
  zone.albedo_now = {a[0], a[1], a[2]};
  const float most = std::max({a[0], a[1], a[2]});
  zone.shrink = std::sqrt(0.0225f * most * most + kShrink * kShrink);
  set_projection(zone, a);
  if (options.from && !zone.clear_wood) {
    Rgb mean{};
    for (const auto& v : small.light)
      for (std::size_t c = 0; c < 3; ++c) mean[c] += v[c] / static_cast<float>(small.light.size());
    const float share = likely_veil(small, a, full, prior, mean, options.sheen);
    for (std::size_t c = 0; c < 3; ++c) zone.veil[c] = share * mean[c];
    for (const auto i : small.in)
      for (std::size_t c = 0; c < 3; ++c) small.light[i][c] = without_veil(small.light[i][c], zone.veil[c]);
  }
  const Rgb light = zone_light(small, a, prior);
  set_local_light(zone, small, a, light);
  set_ceiling(zone, small, a);
  if (zone.clear_wood) set_grain(zone, small.light, small.in);
  return zone;
}

}  // namespace tackcloth::picture
