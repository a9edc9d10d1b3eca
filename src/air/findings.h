// What the numbers of a room's air mean for the person at the bench.
#pragma once

#include <vector>

#include "air/limits.h"

namespace tackcloth::air {

std::vector<catalog::Finding> findings_for(const Verdict& verdict, const std::vector<Limit>& limits, const Room& room);

}  // namespace tackcloth::air
