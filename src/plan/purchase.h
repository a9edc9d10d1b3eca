// What the tasks use, what has to be bought for it, and each piece's price.
#pragma once

#include <vector>

#include "plan/plan.h"
#include "plan/route.h"

namespace tackcloth::plan {

struct Bought {
  std::vector<materials::Purchase> purchases;
  std::vector<materials::Price> by_piece;  // one a piece of the job; materials shared out by use, sums match
  materials::Price total;
};

// `shelf_age` counts months from `start`.
Results<Bought> buy(const job::Job& job, const std::vector<Task>& tasks, const catalog::Catalog& catalog,
                    Instant start);

// Spreads `total` over `shares` (not all zero) so that the parts add up to it exactly: largest remainders first.
std::vector<Money> shared_out(Money total, const std::vector<double>& shares);

}  // namespace tackcloth::plan
