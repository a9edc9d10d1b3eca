// Where a part lies and what a ground is, as regions: rectangles when nothing else is said.
#pragma once

#include "sheet/cut_sheet.h"

namespace tackcloth::sheet {

inline shape::Region region_of(const CutPart& part) {
  if (!part.region.outlines.empty()) return part.region;
  return shape::rectangle({part.x, part.y}, part.width, part.height);
}
inline shape::Region region_of(const CutGround& ground) {
  if (!ground.region.outlines.empty()) return ground.region;
  return shape::rectangle({0, 0}, ground.width, ground.height);
}

}  // namespace tackcloth::sheet
