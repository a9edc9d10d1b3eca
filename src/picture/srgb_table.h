// The sRGB curve (IEC 61966-2-1) as tables: 8 bit to linear, and linear to 8 bit rounded to nearest.
#pragma once

#include <array>
#include <cstdint>

namespace tackcloth::picture {

// Linear light of each of the 256 codes.
const std::array<float, 256>& decode_table();

// 16384 steps in linear light, so that the darkest codes (12.92 * 255 steps to 1, one code is 5 of ours) are never off
// by more than the last half code.
inline constexpr int kEncodeSteps = 16384;
const std::array<std::uint8_t, kEncodeSteps + 1>& encode_table();

// What is not a number becomes 0.
inline std::uint8_t encode(const std::array<std::uint8_t, kEncodeSteps + 1>& table, float linear) {
  const float at = linear * kEncodeSteps + 0.5f;
  return table[at > 0 ? (at < kEncodeSteps ? static_cast<std::size_t>(at) : kEncodeSteps) : 0];
}

}  // namespace tackcloth::picture
