#include "materials/share.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::materials {

__extension__ using Wide = __int128;  // 64-bit money times a scaled percentage

Money share_of(Money amount, std::int64_t numerator, std::int64_t denominator) {
  const Wide twice = 2 * static_cast<Wide>(amount.minor) * numerator;
  const Wide up = twice < 0 ? -static_cast<Wide>(denominator) : static_cast<Wide>(denominator);
  return {static_cast<std::int64_t>((twice + up) / (2 * static_cast<Wide>(denominator)))};
}

std::int64_t steps_of(double percent) {
  return std::isfinite(percent) && percent > 0 ? std::llround(std::min(percent, 1e6) * 1e4) : 0;
}

Money percent_of(Money amount, double percent) { return share_of(amount, steps_of(percent), kWhole); }

}  // namespace tackcloth::materials
