// What the plan says of each part of a piece that is apart: how thick its coats become, and whether it may be touched.
#pragma once

#include <vector>

#include "catalog/catalog.h"
#include "piece/apart.h"
#include "plan/plan.h"

namespace tackcloth::plan {

// Parts without a coat or cloth are left out. Thickness is wet film times the volume of solids (as a film dries, what
// is not volatile stays), of the films alone: oil, wax and stain are taken to go into the wood. Coats that were on the
// piece before are not known to it.
std::vector<piece::PartState> part_states(const PlannedPiece& piece, const catalog::Catalog& catalog, Instant now);

}  // namespace tackcloth::plan
