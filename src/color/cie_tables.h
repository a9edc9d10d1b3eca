// Tables of the CIE at 360 to 830 nm in steps of 5 nm. For this room only: others use light.h.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

namespace tackcloth::color::cie {

inline constexpr std::size_t kSamples = 95;
using Table = std::array<double, kSamples>;

struct Functions {
  Table x, y, z;
};

extern const Functions kObserver1931;  // 2 degrees
extern const Functions kObserver1964;  // 10 degrees

// Components of daylight, at 360 to 830 nm in steps of 10 nm.
using Coarse = std::array<double, 48>;
extern const Coarse kDaylight0, kDaylight1, kDaylight2;

// Typical white LEDs, at 380 to 780 nm in steps of 5 nm; nothing is given outside.
using Visible = std::array<double, 81>;
struct Led {
  std::string_view name;
  Visible power;
};
extern const std::array<Led, 4> kLeds;

}  // namespace tackcloth::color::cie
