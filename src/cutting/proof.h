// For few boxes: is there a layout of this height at all?
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "cutting/boxes.h"

namespace tackcloth::cutting {

// Sums of some of the boxes' sizes, 0 and `most` at the ends, rising: where a box pushed left (or down) can stand
// (Christofides & Whitlock 1977, "An algorithm for two-dimensional cutting problems", Operations Research 25). Empty
// when there are more than 20,000.
std::vector<Length> sums_of_widths(const Boxes& boxes, Length most);
std::vector<Length> sums_of_heights(const Boxes& boxes, Length most);

enum class Verdict { yes, no, unknown };

struct Proof {
  Verdict answer = Verdict::unknown;
  std::vector<Spot> spots;  // when yes
};

// Free cuts. Corners are decided from below and from the left: a box stands there, or the corner is waste up to the
// next place where one could; waste is limited by width * height less the area (after Martello, Monaci & Vigo 2003).
// Exact. `go_on` is asked at every node.
Proof fits_free(const Boxes& boxes, Length height, const std::function<bool()>& go_on);

// Least height with cuts from edge to edge, of any number of stages; nothing for more than 10 boxes or when `go_on`
// says no. Every set of boxes and every width a cut can leave, from small to large.
std::optional<std::vector<Spot>> best_guillotine(const Boxes& boxes, const std::function<bool()>& go_on);

}  // namespace tackcloth::cutting
