// What the numbers of a room's air mean for the person at the bench.
#pragma once

#include <vector>

#include "air/limits.h"

namespace tackcloth::air {

// `spray`: some of it is sprayed.
std::vector<catalog::Finding> findings_for(const Verdict& verdict, const std::vector<Limit>& limits, bool spray);

catalog::Finding mist_caution();

}  // namespace tackcloth::air
