// What the tasks use, what has to be bought for it, and each piece's price.
#pragma once

#include <vector>

#include "plan/plan.h"
#include "plan/route.h"

namespace tackcloth::plan {

struct Bought {
  std::vector<materials::Purchase> purchases;
  std::vector<materials::Price> by_piece;  // one a piece of the job; materials shared out by use, sums match
  std::vector<std::vector<LeftOver>> left_over;  // likewise
  materials::Price total;
};

// How far the work is, and what was told of the shelf.
struct SoFar {
  std::vector<Instant> starts;  // by task
  std::vector<bool> done;       // by task
  std::vector<double> temps_c;  // of the room then, by task
  const std::vector<LogEntry>* log = nullptr;
  const std::vector<materials::Movement>* told = nullptr;
};

// The price is that of all the work, with what the job's own shelf had, whatever was bought since. `purchases` is the
// same, but of products of which something was told what the steps to come still need beyond the shelf. What is on the
// shelf counts if its date is not over when the last step needs it.
Results<Bought> buy(const job::Job& job, const std::vector<Task>& tasks, const catalog::Catalog& catalog, Instant start,
                    const SoFar& so_far);

// Spreads `total` over `shares` (not all zero) so that the parts add up to it exactly: largest remainders first.
std::vector<Money> shared_out(Money total, const std::vector<double>& shares);

}  // namespace tackcloth::plan
