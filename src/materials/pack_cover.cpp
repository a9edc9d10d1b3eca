#include "materials/pack_cover.h"

#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wpedantic"
#include <coin/CbcModel.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#pragma GCC diagnostic pop

namespace tackcloth::materials {
namespace {

constexpr int kNodes = 50'000;

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

struct Solved {
  std::vector<int> counts;
  bool proven = false;
};

// One integer programme: minimise `cost` over counts that cover `need`, spending at most `budget` when given.
std::optional<Solved> solve(const std::vector<PackChoice>& packs, std::int64_t need, const std::vector<double>& cost,
                            std::optional<std::int64_t> budget) {
  const int n = static_cast<int>(packs.size());
  const double infinity = std::numeric_limits<double>::max();
  CoinPackedMatrix matrix(false, 0, 0);
  matrix.setDimensions(0, n);
  std::vector<double> row_low, row_high, zero(packs.size(), 0), most;
  CoinPackedVector cover, spend;
  for (int i = 0; i < n; ++i) {
    const PackChoice& pack = packs[static_cast<std::size_t>(i)];
    cover.insert(i, static_cast<double>(pack.amount));
    spend.insert(i, static_cast<double>(pack.price));
    most.push_back(static_cast<double>((need + pack.amount - 1) / pack.amount));
  }
  matrix.appendRow(cover);
  row_low.push_back(static_cast<double>(need));
  row_high.push_back(infinity);
  if (budget) {
    matrix.appendRow(spend);
    row_low.push_back(0);
    row_high.push_back(static_cast<double>(*budget));
  }
  OsiClpSolverInterface lp;
  lp.messageHandler()->setLogLevel(0);
  lp.loadProblem(matrix, zero.data(), most.data(), cost.data(), row_low.data(), row_high.data());
  for (int i = 0; i < n; ++i) lp.setInteger(i);

  CbcModel model(lp);
  model.setLogLevel(0);
  model.messageHandler()->setLogLevel(0);
  model.solver()->messageHandler()->setLogLevel(0);
  model.setMaximumNodes(kNodes);
  model.setAllowableGap(0);
  model.setAllowableFractionGap(0);
  model.setDblParam(CbcModel::CbcCutoffIncrement, 0.999);  // the objective is whole
  model.branchAndBound();
  const double* best = model.bestSolution();
  if (best == nullptr) return std::nullopt;
  Solved solved;
  for (int i = 0; i < n; ++i) solved.counts.push_back(static_cast<int>(std::lround(best[i])));
  solved.proven = model.isProvenOptimal();
  // Checked in whole numbers: the solver's own arithmetic is floating.
  if (sum(solved.counts, packs, false) < need) return std::nullopt;
  if (budget && sum(solved.counts, packs, true) > *budget) return std::nullopt;
  return solved;
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
  const std::optional<Solved> cheapest = solve(packs, need, prices, std::nullopt);
  if (!cheapest) return cover;
  const std::int64_t cost = sum(cheapest->counts, packs, true);
  if (cost > sum(cover.counts, packs, true)) return cover;
  cover.counts = cheapest->counts;
  if (const std::optional<Solved> leanest = solve(packs, need, amounts, cost)) {
    cover.counts = leanest->counts;
    cover.proven = cheapest->proven && leanest->proven;
  }
  return cover;
}

}  // namespace tackcloth::materials
