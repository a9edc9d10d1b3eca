// Colours as people and browsers write them, read into Lab of D50 (the lab() of CSS Color Module Level 4).
// Accepted: "#rgb", "#rrggbb"; lab(L a b), lch(L C h), oklab(L a b), oklch(L C h), rgb(r g b),
// color(srgb|srgb-linear|xyz|xyz-d50|xyz-d65 c c c); with percentages, `none`, hue units deg/rad/grad/turn, and commas
// in place of spaces; and a bare "L,a,b" or "L a b". A colour outside sRGB is kept as it is; one that lets the ground
// through (alpha below 1) is refused.
#pragma once

#include <string>
#include <string_view>

#include "color/space.h"
#include "units/result.h"

namespace tackcloth::color {

// Lab with 0 <= L <= 100 (clamped as CSS says) and finite a and b; at most 128 characters are read.
Result<Lab> parse_color(std::string_view text);

// "lab(53.24 80.09 67.2)"
std::string to_css(const Lab& d50);
// "#rrggbb", mapped into the gamut of sRGB where needed (map_to_gamut).
std::string to_hex(const Lab& d50);
// The nearest 8-bit triple after gamut mapping.
struct Srgb8 {
  unsigned char r = 0, g = 0, b = 0;
};
Srgb8 srgb8_from_lab(const Lab& d50);

}  // namespace tackcloth::color
