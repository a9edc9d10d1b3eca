// Panels wider than the roll, in several widths that are seamed.
#pragma once

#include "cutting/order.h"

namespace tackcloth::cutting {

// The order's parts; with `order.join`, what is wider than the roll stands in its widths: a full one in the middle,
// what is left in halves on both sides (common practice, no source), each seam taking its allowance from both. With a
// repeat across, every width is cut where the pattern runs on from its neighbour, so that it matches at the seam, and
// the middle width is as wide as the pattern allows. Not joined, and left as it is: what fits; centred patterns of
// which nobody measured where they begin; a repeat that leaves no width. `notes` says what was joined.
std::vector<Wanted> in_widths(const Order& order, units::System system, std::vector<std::string>& notes);

}  // namespace tackcloth::cutting
