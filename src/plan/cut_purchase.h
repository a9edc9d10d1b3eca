// Cloth and sheets to buy, by the layout that cuts the parts from them: never by area.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "job/job.h"
#include "materials/materials.h"

namespace tackcloth::plan {

struct CutPurchase {
  materials::Purchase purchase;                          // unit "m" or "yd" of a roll, or "sheet"
  std::vector<std::pair<std::string, double>> by_piece;  // area cut for each
};

// One for each [[cut]] with parts. The search is short and the same every time; `tackcloth cut` may look longer and
// find less.
std::vector<CutPurchase> cut_purchases(const job::Job& job);

}  // namespace tackcloth::plan
