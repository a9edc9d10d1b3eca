// A literal says that a bound has reached a value. Bound 2x is the lower bound of x, bound 2x+1 the lower bound of -x.
#pragma once

#include <cstdint>
#include <limits>

namespace tackcloth::calendar::proof {

struct Literal {
  std::int32_t bound = -1, value = 0;
  friend bool operator==(const Literal&, const Literal&) = default;
};

inline constexpr Literal kAlways{-1, 0};
inline constexpr std::int32_t kUnneeded = std::numeric_limits<std::int32_t>::min();
// Domains lie inside [-kFar, kFar], so that sums of two bounds never overflow.
inline constexpr std::int32_t kFar = 1 << 29;

inline Literal at_least(int x, int value) { return {2 * x, value}; }
inline Literal at_most(int x, int value) { return {2 * x + 1, -value}; }
inline Literal negated(Literal l) { return {l.bound ^ 1, 1 - l.value}; }

}  // namespace tackcloth::calendar::proof
