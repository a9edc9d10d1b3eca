// Vapour of the busiest day in each room, and the cautions that are always shown.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "plan/dates.h"

namespace tackcloth::plan {

struct RoomDay {
  air::Verdict verdict;
  std::vector<int> pieces;  // indices in the job of the pieces coated that day
};

struct Safety {
  std::map<std::string, RoomDay> busiest;  // by room id
  std::vector<catalog::Finding> findings;
};

Safety look_after(const DateInput& input, const Dated& dated);

}  // namespace tackcloth::plan
