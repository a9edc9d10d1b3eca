// Pictures as plain values: row after row from the top left, no padding.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace tackcloth::picture {

// Encoded sRGB (IEC 61966-2-1), 8 bit a channel, red green blue.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;  // width * height * 3

  Image() = default;
  Image(int w, int h) : width(w), height(h), rgb(static_cast<std::size_t>(w) * static_cast<std::size_t>(h) * 3) {}
  std::size_t pixels() const { return static_cast<std::size_t>(width) * static_cast<std::size_t>(height); }
  const std::uint8_t* at(int x, int y) const { return &rgb[3 * (static_cast<std::size_t>(y) * width + x)]; }
  std::uint8_t* at(int x, int y) { return &rgb[3 * (static_cast<std::size_t>(y) * width + x)]; }
};

// How much of each pixel the zone covers: 0 none, 255 all of it. Linear coverage, not gamma-encoded.
struct Mask {
  int width = 0, height = 0;
  std::vector<std::uint8_t> cover;  // width * height

  Mask() = default;
  Mask(int w, int h, std::uint8_t value = 0)
      : width(w), height(h), cover(static_cast<std::size_t>(w) * static_cast<std::size_t>(h), value) {}
  std::uint8_t at(int x, int y) const { return cover[static_cast<std::size_t>(y) * width + x]; }
  std::uint8_t& at(int x, int y) { return cover[static_cast<std::size_t>(y) * width + x]; }
};

// Mean of the pixels that fall into each pixel of the smaller picture, in linear light; the longer side becomes at
// most `longest`. A picture that is small enough comes back as it is.
Image shrink(const Image& image, int longest, int threads = 1);
Mask shrink(const Mask& mask, int longest, int threads = 1);

}  // namespace tackcloth::picture
