// Stencils: what lies inside a closed cut falls out unless bridges hold it.
#pragma once

#include "shape/shape.h"

namespace tackcloth::shape {

inline constexpr double kUsualBridgeMm = 4, kLeastBridgeMm = 1;  // common practice, no source

struct Stencil {
  Region cut;  // what is cut out, bridges left standing
  int bridges = 0;
};
// Every hole of `region` gets two bridges of this width to what is around it, where it is nearest and, about opposite,
// where it is nearest again; one where nothing lies opposite. What is cut by a bridge is flattened to 0.01 mm.
// Problems: a width that cannot be, a hole that is still loose.
Result<Stencil> stencil(const Region& region, double bridge_mm = kUsualBridgeMm);

}  // namespace tackcloth::shape
