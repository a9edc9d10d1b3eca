// What never reaches the work, and how long an opened can keeps: what catalogue and label do not say. All of it common
// practice, no source; the label on the can in the hand wins.
#pragma once

#include <optional>

#include "catalog/product.h"

namespace tackcloth::materials {

// Litres left in pot and tool after one sitting (or one batch of what is mixed), when all that can be is poured back.
double left_in_tool_l(catalog::Method method);

// Share of every can that stays on wall, bottom and rim.
inline constexpr double kLeftInCan = 0.02;

// Months from opening: what takes up oxygen skins over and thickens, shellac in alcohol stops hardening. Nothing: as
// long as closed.
std::optional<double> opened_months(const catalog::Product& product);

}  // namespace tackcloth::materials
