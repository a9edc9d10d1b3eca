// Shares of money in whole numbers.
#pragma once

#include <cstdint>

#include "units/money.h"

namespace tackcloth::materials {

// amount * numerator / denominator, rounded half away from zero. The denominator is above zero.
Money share_of(Money amount, std::int64_t numerator, std::int64_t denominator);
// A percentage in steps of 0.0001 %; below zero or not finite counts as zero.
std::int64_t steps_of(double percent);
inline constexpr std::int64_t kWhole = 1'000'000;  // 100 %
Money percent_of(Money amount, double percent);

}  // namespace tackcloth::materials
