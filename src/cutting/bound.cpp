#include "cutting/bound.h"

#include <algorithm>
#include <functional>
#include <set>

namespace tackcloth::cutting {
namespace {

Wide ceil_div(Wide a, Wide b) { return (a + b - 1) / b; }

// Dual feasible functions on the width: f(w) / scale with f of boxes side by side never above f of the strip (Fekete &
// Schepers 2004, "A general framework for bounds for higher-dimensional orthogonal packing problems"; Martello, Monaci
// & Vigo 2003, "An exact approach to the strip-packing problem"). The sum of height * f(width) is at most height *
// f(strip). A box that may turn counts with the lesser of its two ways.
Length weighed(const Boxes& boxes, const std::function<Wide(Length)>& f) {
  Wide sum = 0;
  for (const Box& box : boxes.all) {
    Wide weight = f(box.width) * box.height;
    if (box.may_turn && box.height <= boxes.width) weight = std::min(weight, f(box.height) * box.width);
    sum += weight;
  }
  return static_cast<Length>(ceil_div(sum, f(boxes.width)));
}

}  // namespace

Length bound_of(const Boxes& boxes) {
  Length bound = 0;
  std::set<Length> sizes;
  for (const Box& box : boxes.all) {
    const bool both = box.may_turn && box.height <= boxes.width;
    Length least = both ? std::min(box.width, box.height) : box.height;
    // On steps the first place may be above the edge.
    least += up_to_step(0, box.step_y, box.phase_y);
    bound = std::max(bound, least);
    sizes.insert(std::min(box.width, boxes.width - box.width));
    if (both) sizes.insert(std::min(box.height, boxes.width - box.height));
  }
  bound = std::max(bound, weighed(boxes, [](Length w) { return Wide{w}; }));
  // f0: below e nothing, above W - e the whole width.
  std::size_t tried = 0;
  for (const Length e : sizes) {
    if (e <= 0 || ++tried > 1000) continue;
    bound = std::max(bound, weighed(boxes, [&](Length w) {
                       return w > boxes.width - e ? Wide{boxes.width} : w < e ? Wide{0} : Wide{w};
                     }));
  }
  // u(k): rounded down to k-ths of the width, (k + 1) w / W exact where it comes out even.
  for (Length k = 1; k <= 40; ++k)
    bound = std::max(bound, weighed(boxes, [&](Length w) {
                       const Wide times = Wide{k + 1} * w;
                       return times % boxes.width == 0 ? Wide{w} * k : times / boxes.width * boxes.width;
                     }));
  return bound;
}

}  // namespace tackcloth::cutting
