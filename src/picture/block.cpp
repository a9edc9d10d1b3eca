#include "picture/block.h"

#include <bit>
#include <cstdint>

namespace tackcloth::picture {

namespace {

// `yes` where `v` is below 0, else `no`; by the sign's bit, for a comparison may trap and so is not done several at
// once.
inline float where_negative(float v, float yes, float no) {
  const std::int32_t mask = std::bit_cast<std::int32_t>(v) >> 31;
  return std::bit_cast<float>((std::bit_cast<std::int32_t>(yes) & mask) | (std::bit_cast<std::int32_t>(no) & ~mask));
}

}  // namespace

// Constants are copied out first: written arrays could else be taken for them.
void repaint_paint(const Splitter& split, const std::array<float, 3>& to, Block& block) {
  const auto along = split.along, own = split.own, shared = split.shared, albedo = to;
  const auto to_shading = split.z.to_shading, to_gloss = split.z.to_gloss, veil = split.z.veil;
  const float mean = split.mean, by_color = split.z.gloss_by_color;
  // Step by step, each over the whole block: short loops are what the compiler does several pixels at once.
  std::array<Block::Row, 3> left, j;
  Block::Row shading, gloss, straight, over, body;
  for (std::size_t c = 0; c < 3; ++c) {
    const float v = veil[c];
    for (std::size_t n = 0; n < Block::kPixels; ++n)
      left[c][n] = std::max(block.seen[c][n] - v, 0.2f * block.seen[c][n]);  // without_veil
    for (std::size_t n = 0; n < Block::kPixels; ++n) j[c][n] = left[c][n] / block.light[c][n];
  }
  for (std::size_t n = 0; n < Block::kPixels; ++n) {
    const float s = to_shading[0] * j[0][n] + to_shading[1] * j[1][n] + to_shading[2] * j[2][n];
    const float g = to_gloss[0] * j[0][n] + to_gloss[1] * j[1][n] + to_gloss[2] * j[2][n];
    straight[n] = along[0] * j[0][n] + along[1] * j[1][n] + along[2] * j[2][n];
    gloss[n] = std::max(g, 0.0f);
    body[n] = where_negative(g, straight[n], s);
  }
  for (std::size_t n = 0; n < Block::kPixels; ++n) {
    body[n] = std::max(body[n], 0.0f);
    over[n] = std::max(straight[n] - block.ceiling[n], 0.0f);
  }
  for (std::size_t n = 0; n < Block::kPixels; ++n) {
    gloss[n] = by_color * gloss[n] + (1 - by_color) * over[n] * mean;
    shading[n] = by_color * body[n] + (1 - by_color) * (straight[n] - over[n]);
  }
  for (std::size_t c = 0; c < 3; ++c) {
    const float o = own[c], h = shared[c], a = albedo[c];
    for (std::size_t n = 0; n < Block::kPixels; ++n) {
      const float s = std::max((j[c][n] - gloss[n]) * o + h * shading[n], 0.0f);
      block.out[c][n] = block.light[c][n] * (s * a + gloss[n]) + (block.seen[c][n] - left[c][n]);
    }
  }
}

void repaint_wood(const Splitter& split, const std::array<float, 3>& to, Block& block) {
  const float log_albedo = split.z.log_albedo;
  const auto albedo = to;
  for (std::size_t n = 0; n < Block::kPixels; ++n) {
    const float signal = block.log_seen[n] - block.log_light[n] - log_albedo;
    block.log_seen[n] = std::exp(block.slope[n] * signal + block.offset[n]);
  }
  for (int k = 0; k < Block::kPixels; ++k) {
    const auto n = static_cast<std::size_t>(k);
    const float s = std::min(block.log_seen[n], block.ceiling[n]);
    block.out[0][n] = block.light[0][n] * (s * albedo[0]);
    block.out[1][n] = block.light[1][n] * (s * albedo[1]);
    block.out[2][n] = block.light[2][n] * (s * albedo[2]);
  }
}

}  // namespace tackcloth::picture
