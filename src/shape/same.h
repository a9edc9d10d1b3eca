// What drawing, fitting and snapping agree on.
#pragma once

#include <numbers>

namespace tackcloth::shape {

constexpr double kSame = 1e-6;  // mm: closer than this is the same place
constexpr double kTurn = 2 * std::numbers::pi;

}  // namespace tackcloth::shape
