// Opaque paint on whole pixels of the zone, many at a time: what split.h and repaint.cpp say of one pixel, with the
// terms side by side so that the compiler does several at once. Internal to the repainting.
#pragma once

#include <array>

#include "picture/split.h"

namespace tackcloth::picture {

struct Block {
  static constexpr int kPixels = 64;
  using Row = std::array<float, kPixels>;
  std::array<Row, 3> seen{};  // linear light
  std::array<Row, 3> light{}, out{};
  Row ceiling{}, slope{}, offset{};
  Row log_light{};  // clear wood: sum of log_weights * log(light)
  Row log_seen{};   // clear wood: sum of log_weights * log(seen)
};

void repaint_paint(const Splitter& split, const std::array<float, 3>& to, Block& block);
void repaint_wood(const Splitter& split, const std::array<float, 3>& to, Block& block);

}  // namespace tackcloth::picture
