#include "materials/pack_cover.h"

#include <limits>
#include <numeric>
#include <optional>

#include "materials/integer_programme.h"

namespace tackcloth::materials {
namespace {

std::int64_t sum(const std::vector<int>& counts, const std::vector<PackChoice>& packs, bool prices) {
  std::int64_t total = 0;
  for (std::size_t i = 0; i < packs.size(); ++i) total += counts[i] * (prices ? packs[i].price : packs[i].amount);
  return total;
}

// Enough of the one pack that does it cheapest alone.
std::vector<int> by_one_pack(const std::vector<PackChoice>& packs, std::int64_t need) {
  std::size_t best = 0;
  std::int64_t best_cost = std::numeric_limits<std::int64_t>::max();
  for (std::size_t i = 0; i < packs.size(); ++i) {
    const std::int64_t count = (need + packs[i].amount - 1) / packs[i].amount;
    if (count * packs[i].price < best_cost) {
      best = i;
      best_cost = count * packs[i].price;
    }
  }
  std::vector<int> counts(packs.size(), 0);
  counts[best] = static_cast<int>((need + packs[best].amount - 1) / packs[best].amount);
  return counts;
}

// Minimise `cost` over counts that cover `need`, spending at most `budget` when given.
std::optional<WholeCounts> least(const std::vector<PackChoice>& packs, std::int64_t need, std::vector<double> cost,
                                 std::optional<std::int64_t> budget) {
  IntegerProgramme programme;
  programme.cost = std::move(cost);
  IntegerProgramme::Row cover, spend;
  for (int i = 0; i < static_cast<int>(packs.size()); ++i) {
    const PackChoice& pack = packs[static_cast<std::size_t>(i)];
    cover.values.emplace_back(i, static_cast<double>(pack.amount));
    spend.values.emplace_back(i, static_cast<double>(pack.price));
    programme.most.push_back(static_cast<double>((need + pack.amount - 1) / pack.amount));
  }
  cover.low = static_cast<double>(need);
  programme.rows.push_back(std::move(cover));
  if (budget) {
    spend.high = static_cast<double>(*budget);
    programme.rows.push_back(std::move(spend));
  }
  auto found = solve(programme);
  // Checked in whole numbers: the solver's own arithmetic is floating.
  if (!found || sum(found->counts, packs, false) < need) return std::nullopt;
  if (budget && sum(found->counts, packs, true) > *budget) return std::nullopt;
  return found;
}

}  // namespace

Cover cheapest_cover(const std::vector<PackChoice>& given, std::int64_t need) {
  // Small coefficients keep the floating solver exact: divide by what all packs have in common.
  std::int64_t common = 0;
  for (const PackChoice& pack : given) common = std::gcd(common, pack.amount);
  std::vector<PackChoice> packs = given;
  for (PackChoice& pack : packs) pack.amount /= common;
  need = (need + common - 1) / common;

  Cover cover{by_one_pack(packs, need), false};
  std::vector<double> prices, amounts;
  for (const PackChoice& pack : packs) {
    prices.push_back(static_cast<double>(pack.price));
    amounts.push_back(static_cast<double>(pack.amount));
  }
  const auto cheapest = least(packs, need, prices, std::nullopt);
  if (!cheapest) return cover;
  const std::int64_t cost = sum(cheapest->counts, packs, true);
  if (cost > sum(cover.counts, packs, true)) return cover;
  cover.counts = cheapest->counts;
  if (const auto leanest = least(packs, need, amounts, cost)) {
    cover.counts = leanest->counts;
    cover.proven = cheapest->proven && leanest->proven;
  }
  return cover;
}

}  // namespace tackcloth::materials
