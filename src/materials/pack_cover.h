// Cheapest packs that cover an amount, in whole units: the integer programme behind choose_packs.
#pragma once

#include <cstdint>
#include <vector>

namespace tackcloth::materials {

constexpr double kGrain = 1e4;  // whole units of a litre, piece or metre
constexpr double kMost = 1e5;   // of one product: beyond it a slip of the pen, and counts stay in range

struct PackChoice {
  std::int64_t amount = 0;  // > 0
  std::int64_t price = 0;   // minor units, >= 0
};

struct Cover {
  std::vector<int> counts;  // one a pack
  bool proven = false;
};

// Minimise sum(price * count), then sum(amount * count), subject to sum(amount * count) >= need. `need` > 0 and at
// least one pack. Solved by CBC within a limit on nodes, so the same input always gives the same answer; what comes
// back always covers the need, proven or not.
Cover cheapest_cover(const std::vector<PackChoice>& packs, std::int64_t need);

}  // namespace tackcloth::materials
